package cairn.io.report;

import java.awt.Shape;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import javax.xml.parsers.DocumentBuilderFactory;
import javax.xml.parsers.ParserConfigurationException;
import org.apache.batik.svggen.SVGGeneratorContext;
import org.apache.batik.svggen.SVGShape;
import org.w3c.dom.Document;
import org.w3c.dom.Element;

/**
 * A picture made of shapes, 0 to {@code width} across and 0 to {@code height} down, stretched to
 * the place that it gets. It holds no letters: those stand beside it as text of the page, at a size
 * that can be read on any screen.
 */
final class Drawing {

  private static final String SVG = "http://www.w3.org/2000/svg";

  private final double width;
  private final double height;
  private final Document document;
  private final Element root;
  private final SVGShape shapes;

  /**
   * @param id of the picture, unique on the page
   * @param title what it is, safe to show
   * @param description what one sees in it, safe to show
   */
  Drawing(String id, double width, double height, String title, String description) {
    this.width = width;
    this.height = height;
    try {
      document = DocumentBuilderFactory.newDefaultInstance().newDocumentBuilder().newDocument();
    } catch (ParserConfigurationException e) {
      throw new IllegalStateException("every Java platform has a plain document builder", e);
    }
    SVGGeneratorContext context = SVGGeneratorContext.createDefault(document);
    context.setPrecision(2);
    shapes = new SVGShape(context);
    root = document.createElementNS(SVG, "svg");
    root.setAttribute("xmlns", SVG);
    root.setAttribute("viewBox", "0 0 " + whole(width) + " " + whole(height));
    root.setAttribute("preserveAspectRatio", "none");
    root.setAttribute("role", "img");
    root.setAttribute("aria-labelledby", id + "-t " + id + "-d");
    said("title", id + "-t", title);
    said("desc", id + "-d", description);
  }

  private static String whole(double length) {
    return String.valueOf(Math.round(length));
  }

  private void said(String tag, String id, String text) {
    Element element = document.createElementNS(SVG, tag);
    element.setAttribute("id", id);
    element.setTextContent(text);
    root.appendChild(element);
  }

  double width() {
    return width;
  }

  double height() {
    return height;
  }

  /** A shape in a role, which the page's style gives its look. */
  void shape(Shape shape, String role) {
    Element element = shapes.toSVG(shape);
    if (element == null) {
      // The library draws nothing for a shape of no size.
      return;
    }
    element.setAttribute("class", role);
    root.appendChild(element);
  }

  void rectangle(double x, double y, double across, double down, String role) {
    shape(new Rectangle2D.Double(x, y, across, down), role);
  }

  void line(double x1, double y1, double x2, double y2, String role) {
    shape(new Line2D.Double(x1, y1, x2, y2), role);
  }

  /** A line through points; {@code y[i]} belongs to {@code x[i]}. */
  void curve(double[] x, double[] y, String role) {
    Path2D path = new Path2D.Double();
    path.moveTo(x[0], y[0]);
    for (int i = 1; i < x.length; i++) {
      path.lineTo(x[i], y[i]);
    }
    shape(path, role);
  }

  /** The picture. */
  Element root() {
    return root;
  }
}
