/**
 * Pictures of the model: the cells of the whole window, a view a region. Pure functions; nothing
 * here knows a terminal, a clock or a file. Text that comes from outside is safe already and is cut
 * by cells.
 */
package cairn.tui.view;
