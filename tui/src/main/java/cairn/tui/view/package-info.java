/**
 * Pictures of the model: {@link cairn.tui.view.Pictures#draw} gives the cells of the whole window,
 * a view a region. Pure functions; nothing here knows a terminal. Text that comes from outside is
 * safe already and is cut by cells.
 */
package cairn.tui.view;
