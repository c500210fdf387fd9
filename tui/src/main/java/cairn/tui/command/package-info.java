/**
 * The command line: one class a command, the options they share, the progress bar and the one line
 * that says what went wrong. Exit status: 0 done, 1 the work failed, 2 the command line is wrong.
 * Standard output holds data only.
 */
package cairn.tui.command;
