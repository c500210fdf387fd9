/**
 * What the walk's screens know: immutable records and enums, no clock, no thread, no terminal, no
 * file. Everything shown is a function of a {@link cairn.tui.model.Model}; every change is an
 * {@link cairn.tui.model.Event}, every deed on the world an {@link cairn.tui.model.Effect}, which
 * answers with an event. A figure that is being worked out carries the marks that it was worked out
 * with: it is shown only while those are the marks there are.
 */
package cairn.tui.model;
