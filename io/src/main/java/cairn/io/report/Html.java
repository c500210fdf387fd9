package cairn.io.report;

import java.io.Writer;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Set;
import javax.xml.stream.XMLOutputFactory;
import javax.xml.stream.XMLStreamException;
import javax.xml.stream.XMLStreamWriter;
import org.w3c.dom.Element;
import org.w3c.dom.NamedNodeMap;
import org.w3c.dom.Node;

/**
 * Writes HTML that is XML too: all text and every attribute is escaped by the platform's XML
 * writer, and an element that HTML does not allow to be empty never ends in itself.
 */
final class Html {

  /** A failure to write, which the writer's owner knows as an {@code IOException}. */
  static final class NotWritten extends RuntimeException {
    private static final long serialVersionUID = 1L;

    NotWritten(XMLStreamException cause) {
      super(cause);
    }
  }

  private static final Set<String> VOID = Set.of("meta", "br", "hr", "col");

  private final XMLStreamWriter out;
  private final Deque<String> open = new ArrayDeque<>();

  Html(Writer writer) {
    try {
      out = XMLOutputFactory.newDefaultFactory().createXMLStreamWriter(writer);
    } catch (XMLStreamException e) {
      throw new NotWritten(e);
    }
  }

  /** Begins an element. */
  Html open(String tag, String... namesAndValues) {
    try {
      if (VOID.contains(tag)) {
        out.writeEmptyElement(tag);
      } else {
        out.writeStartElement(tag);
        open.push(tag);
      }
      for (int i = 0; i < namesAndValues.length; i += 2) {
        out.writeAttribute(namesAndValues[i], namesAndValues[i + 1]);
      }
    } catch (XMLStreamException e) {
      throw new NotWritten(e);
    }
    return this;
  }

  /** Ends the element that was begun last. */
  Html close(String tag) {
    String begun = open.pop();
    if (!begun.equals(tag)) {
      throw new IllegalStateException("<" + begun + "> is open, not <" + tag + ">");
    }
    try {
      out.writeEndElement();
    } catch (XMLStreamException e) {
      throw new NotWritten(e);
    }
    return this;
  }

  /** Text, safe to show. */
  Html text(String text) {
    try {
      out.writeCharacters(text);
    } catch (XMLStreamException e) {
      throw new NotWritten(e);
    }
    return this;
  }

  /** An element with nothing but text in it. */
  Html element(String tag, String text, String... namesAndValues) {
    return open(tag, namesAndValues).text(text).close(tag);
  }

  /** A name of any script, which leaves the direction of what is about it alone. */
  Html name(String safe) {
    return element("bdi", safe);
  }

  /**
   * A figure for people and for programs.
   *
   * @param exact as in the list's JSON
   */
  Html figure(String key, String exact, String shown) {
    return element("data", shown, "value", exact, "class", key);
  }

  void newline() {
    text("\n");
  }

  /** What stands before the root element. */
  void doctype() {
    try {
      out.writeDTD("<!DOCTYPE html>\n");
    } catch (XMLStreamException e) {
      throw new NotWritten(e);
    }
  }

  /** A tree that a library has made. */
  Html tree(Element element) {
    open(element.getTagName());
    try {
      NamedNodeMap attributes = element.getAttributes();
      for (int i = 0; i < attributes.getLength(); i++) {
        out.writeAttribute(attributes.item(i).getNodeName(), attributes.item(i).getNodeValue());
      }
    } catch (XMLStreamException e) {
      throw new NotWritten(e);
    }
    for (Node child = element.getFirstChild(); child != null; child = child.getNextSibling()) {
      if (child instanceof Element inner) {
        tree(inner);
      } else {
        text(child.getNodeValue());
      }
    }
    return close(element.getTagName());
  }

  void finish() {
    try {
      out.flush();
    } catch (XMLStreamException e) {
      throw new NotWritten(e);
    }
  }
}
