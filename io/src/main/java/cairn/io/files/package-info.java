/** Text from outside made harmless, and files written whole or not at all. */
package cairn.io.files;
