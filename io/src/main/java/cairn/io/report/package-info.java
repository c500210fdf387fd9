/**
 * The report: one page of HTML that needs nothing but itself, for the artist first and for the
 * engineer after. Every figure on it is that of the list and the plan; a {@code data} element holds
 * it as the list's JSON does. Pictures are SVG, drawn by shapes that have a role and no colour of
 * their own, so that the page's style settles how they look in the light, in the dark and on paper.
 */
package cairn.io.report;
