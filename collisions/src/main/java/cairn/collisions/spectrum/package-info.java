/**
 * Spectra and what is found by them: third-octave bands, long-term average spectra, and the offset
 * between two long signals. Takes for granted that sounds are two-channel blocks, 1.0 = 0 dBFS; the
 * library for Fourier transforms stays in here. Implements section 7 of definitions.md and IEC
 * 61260-1:2014, base ten.
 */
package cairn.collisions.spectrum;
