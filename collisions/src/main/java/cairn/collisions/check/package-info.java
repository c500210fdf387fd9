/**
 * Whether stems are fit to be analysed: what is wrong with one stem (offset, flat tops, silence),
 * what several have in common (doubles, a full mix among them), and what a bounced mix says about
 * their sum. Takes for granted that stems of one rate can be read; what file headers tell is found
 * where the files are. Follows section 1 of definitions.md; limits are our choice where no source
 * is named.
 */
package cairn.collisions.check;
