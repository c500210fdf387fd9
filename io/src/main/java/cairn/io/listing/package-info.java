/**
 * The list of moments as text: JSON and CSV for programs, an aligned table for people. Takes for
 * granted a finished pass; rounds here and nowhere else. Numbers are written with a point in any
 * locale; levels have 4 decimals in JSON and CSV, 2 in the table. JSON: RFC 8259, schema {@code
 * cairn-list/1}; CSV: RFC 4180 with a header row, text guarded against spreadsheet formulas.
 */
package cairn.io.listing;
