package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
)

// drawn is one kind of drawing, by the name that asks for it.
type drawn struct {
	name, about string
	of          func(*check.Result, TextOptions) *drawing // nil where the result has nothing of it
}

// kinds are the drawings, in the order in which a report has them.
func drawnKinds() []drawn {
	return []drawn{
		{"elevation", "the barrier from the side, with its load and its utilisations", elevation},
		{"plan", "the barrier from above, with its legs and its load", plan},
		{"deflected", "how far it moves under the load that governs its movement", deflected},
		{"moment", "bending moment along the top rail and down the governing post", bending},
		{"influence", "what a load at each place of the rail does to what governs", influence},
		{"base", "the foot that carries most, with what it carries", base},
	}
}

// DrawingNames are the drawings that Drawing makes, each with what it shows.
func DrawingNames() (names, about []string) {
	for _, k := range drawnKinds() {
		names, about = append(names, k.name), append(about, k.about)
	}
	return names, about
}

// drawings are all drawings of a result that was made with check.Options.Diagrams; those that it
// has nothing of are left out.
func drawings(r *check.Result, o TextOptions) (all []*drawing) {
	for _, k := range drawnKinds() {
		if d := k.of(r, o); d != nil {
			all = append(all, d)
		}
	}
	return all
}

// DrawingSVG writes one drawing of a result as an SVG file of its own, with its title and C1 on
// top. The result was made with check.Options.Diagrams, and o.Units are those of its words. What
// is a name of DrawingNames: the error says so of another. The same result gives the same bytes.
func DrawingSVG(w io.Writer, r *check.Result, what string, o TextOptions) error {
	kinds := drawnKinds()
	i := slices.IndexFunc(kinds, func(k drawn) bool { return k.name == what })
	if i < 0 {
		names, _ := DrawingNames()
		return fmt.Errorf("no drawing is named %q: %s are", what, strings.Join(names, ", "))
	}
	d := kinds[i].of(r, o)
	if d == nil {
		d = newDrawing(kinds[i].name + ": " + r.Title)
		d.notes(0, nothingDrawn(r, kinds[i].name))
	}
	_, err := fmt.Fprintf(w, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n%s", d.headed(r).svg("stanchion-"+what))
	return err
}

// nothingDrawn says why a drawing is empty.
func nothingDrawn(r *check.Result, what string) string {
	switch {
	case r.Shape == nil:
		return "The result holds no drawing: it was made without diagrams."
	case what == "influence":
		return "Nothing is drawn: no load of the file moves along the rails, or what governs does not feel one."
	case what == "deflected":
		return "Nothing is drawn: no movement was found."
	}
	return "Nothing is drawn: no check of strength was found."
}

// headed is the drawing under its title, the verdict and C1.
func (d *drawing) headed(r *check.Result) *drawing {
	out := &drawing{title: d.title, description: d.description + " C1 " + check.PreCheck, width: d.width}
	y := headLetters + 1
	out.write(paper{2, y}, headLetters, atStart, cutTo(d.title, headLetters, d.width-4))
	y += 0.6
	for _, words := range [...]string{strings.ToUpper(string(r.Status)) + ": " + strings.TrimPrefix(r.Headline, "fails: "), "C1 " + check.PreCheck} {
		for _, line := range wrapLetters(words, letterSize, d.width-4) {
			y += letterSize * lineFeed
			out.write(paper{2, y}, letterSize, atStart, line)
		}
	}
	y += 3
	for _, m := range d.marks {
		m.points = slices.Clone(m.points)
		for i := range m.points {
			m.points[i][1] += y
		}
		out.marks = append(out.marks, m)
	}
	out.height = d.height + y
	return out
}
