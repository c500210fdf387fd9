/**
 * The user's terminal: keys in, cells out, one loop between them. It is left as it was found,
 * however the program ends. The only package that knows Lanterna, of which it takes the decoder of
 * key sequences alone: settings, size and output are handled here, since that library asks for the
 * size through the keyboard, writes byte by byte, and starts seven processes before the first
 * picture.
 */
package cairn.tui.terminal;
