/**
 * Which key does what, on which screen, and in which words: one table, from which the foot line and
 * the help are drawn too. Small letters do, capital letters go to a screen, so that a stuck Caps
 * Lock or a torn escape sequence never changes a mark.
 */
package cairn.tui.keys;
