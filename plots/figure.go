package plots

import (
	"bytes"
	"errors"
	"fmt"
	"hash/fnv"
	"html"
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

// fontFamily is what a browser is asked for; the three have the same widths or nearly so.
const fontFamily = "Liberation Sans, Arial, sans-serif"

// plainStyle is the style of most words, which stands once at the root.
const (
	plainColor = "#222"
	plainStyle = "font-size:10px;fill:" + plainColor
)

// Figure is one drawing with the words that belong to it.
type Figure struct {
	Draw          func(draw.Canvas) // draws the figure on a canvas of Width by Height
	Width, Height vg.Length

	Title    string   // one line, also drawn
	Caption  string   // what is shown, number of draws, level of the interval
	Alt      string   // text alternative, with the numbers
	Warnings []string // what the drawing had to leave out

	// ID begins the ids inside the SVG. Blank: made from the words of the figure, so that figures of different beds
	// differ in one page.
	ID string
}

// SVG returns the figure as an SVG document without XML declaration, fit to stand inline in an HTML page.
//
// It scales to the width of its container, up to its own size, has the role of an image, and is named and described by
// its title and text alternative. It holds no clock and loads nothing. An error is returned where the figure has no
// drawing or no size.
func (f Figure) SVG() ([]byte, error) {
	return f.svg(fmt.Sprintf(`style="width:100%%;max-width:%.4gcm;height:auto;`+plainStyle+`"`, f.Width.Points()/vg.Centimeter.Points()))
}

// SVGFile returns the figure as an SVG document that stands alone, as wide as said.
func (f Figure) SVGFile(width vg.Length) ([]byte, error) {
	if !(width > 0) {
		return nil, fmt.Errorf("figure %q has no width", f.Title)
	}
	cm := width.Points() / vg.Centimeter.Points()
	body, err := f.svg(fmt.Sprintf(`width="%.4gcm" height="%.4gcm" style="`+plainStyle+`"`, cm, cm*float64(f.Height/f.Width)))
	if err != nil {
		return nil, err
	}
	return append([]byte("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"), body...), nil
}

// svg is the document with a size as attributes of its root.
func (f Figure) svg(size string) ([]byte, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	canvas := newSVGCanvas(f.Width, f.Height)
	f.Draw(draw.New(canvas))
	return f.dress(canvas.body(), size), nil
}

// PNG returns the figure as a PNG picture at the given dots per inch, 1 to 1200.
func (f Figure) PNG(dpi int) ([]byte, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	if dpi < 1 || dpi > 1200 {
		return nil, fmt.Errorf("%d dots per inch: must be 1 to 1200", dpi)
	}
	canvas := vgimg.NewWith(vgimg.UseWH(f.Width, f.Height), vgimg.UseDPI(dpi), vgimg.UseBackgroundColor(color.White))
	f.Draw(draw.New(canvas))
	var out bytes.Buffer
	if _, err := (vgimg.PngCanvas{Canvas: canvas}).WriteTo(&out); err != nil {
		return nil, fmt.Errorf("writing figure %q: %w", f.Title, err)
	}
	return out.Bytes(), nil
}

func (f Figure) check() error {
	if f.Draw == nil {
		return errors.New("figure without a drawing")
	}
	if !(f.Width > 0 && f.Height > 0) {
		return fmt.Errorf("figure %q has no size", f.Title)
	}
	return nil
}

// dress puts a head before what was drawn, with size, font, title and description.
func (f Figure) dress(body []byte, size string) []byte {
	id := f.id()
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.5g %.5g" role="img"`,
		f.Width.Points(), f.Height.Points())
	fmt.Fprintf(&out, ` aria-labelledby="%s-title %s-desc" font-family="%s"`, id, id, fontFamily)
	out.WriteString(" " + size + ">\n")
	fmt.Fprintf(&out, "<title id=\"%s-title\">%s</title>\n", id, html.EscapeString(clean(f.Title)))
	fmt.Fprintf(&out, "<desc id=\"%s-desc\">%s</desc>\n", id, html.EscapeString(clean(f.Alt)))
	out.Write(body)
	out.WriteString("</svg>\n")
	return out.Bytes()
}

// id is ID reduced to what an id may hold, or a hash of the words of the figure.
func (f Figure) id() string {
	var b []byte
	for _, r := range []byte(f.ID) {
		switch {
		case 'a' <= r && r <= 'z', 'A' <= r && r <= 'Z', '0' <= r && r <= '9', r == '-', r == '_':
			b = append(b, r)
		default:
			b = append(b, '_')
		}
	}
	if len(b) > 0 {
		return "f-" + string(b)
	}
	h := fnv.New64a()
	for _, s := range []string{f.Title, f.Caption, f.Alt} {
		h.Write([]byte(s))
		h.Write([]byte{0})
	}
	return fmt.Sprintf("f%016x", h.Sum64())
}
