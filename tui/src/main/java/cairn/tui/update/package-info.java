/**
 * What each event does to the model: pure functions of model and event, without a clock, a thread
 * or a file. Deeds on the world are returned as {@link cairn.tui.model.Effect}s. A key that needs a
 * figure which is still being worked out waits in the model, with all keys after it.
 */
package cairn.tui.update;
