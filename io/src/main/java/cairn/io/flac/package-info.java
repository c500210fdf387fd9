/**
 * FLAC files, read and written; RFC 9639 (December 2024). Takes for granted a file of its own (no
 * Ogg) whose frames agree with its header; what contradicts it is damage and is named with its
 * time, never bridged with silence.
 *
 * <pre>{@code
 * file        = [ ID3v2 tag ] "fLaC" STREAMINFO { block } frame { frame } [ junk ]
 * block       = last:1 type:7 length:24 payload                                  (8.1)
 * STREAMINFO  = minBlock:16 maxBlock:16 minFrameBytes:24 maxFrameBytes:24
 *               rateHz:20 channels-1:3 bits-1:5 frames:36 md5:128               (8.2)
 * SEEKTABLE   = { firstFrame:64 offset:64 blockFrames:16 }, offset from the first frame header,
 *               firstFrame of all ones = place holder                           (8.5)
 * APPLICATION = id:32 payload; id "riff" = one chunk of the WAVE file it came from (8.4)
 * frame       = header { subframe } zero bits to a whole byte crc16:16          (9)
 * header      = sync:15 variable:1 blockCode:4 rateCode:4 channelCode:4 depthCode:3 zero:1
 *               number [ block-1 ] [ rate ] crc8:8                              (9.1)
 * number      = 1 to 7 bytes as in UTF-8: the frame's number, or its first sample where variable
 * subframe    = zero:1 type:6 wasted:1 [ unary ] ( constant | verbatim | warm-up ... residual ) (9.2)
 * residual    = method:2 partitionOrder:4 { parameter:4|5 codes | escape width:5 values }  (9.2.7)
 * }</pre>
 *
 * All numbers are big-endian. CRC-8 has polynomial 0x07, CRC-16 0x8005, both start at 0 (9.1.8,
 * 9.3). The MD5 is that of the interleaved samples, little-endian, in whole bytes (8.2).
 *
 * <p>A leading ID3v2 tag is none of the RFC's, but is met in the field (common practice, no
 * source).
 */
package cairn.io.flac;
