package report

import (
	"fmt"
	"strconv"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// The run, its posts and its rails.

// path prints the legs of a run that turns or climbs, and its gaps.
func (p *printer) path() {
	if len(p.r.Legs) > 0 {
		p.heading("Run: its legs; x is along the rails, places count from the start")
		t := NewTable(Numbers("leg"), p.measure("from x", "m"), p.measure("to x", "m"), Numbers("turn\ndeg"), Numbers("pitch\ndeg"),
			p.measure("ends at\nalong", "m"), p.measure("left", "m"), p.measure("up", "m"))
		legs, more := firstOf(p.r.Legs)
		for _, row := range legs {
			t.Add(strconv.Itoa(row.Leg), p.number(row.From, "m"), p.number(row.To, "m"), quantity.Fix(row.Turn, 1), quantity.Fix(row.Pitch, 1),
				p.number(row.End[0], "m"), p.number(row.End[1], "m"), p.number(row.End[2], "m"))
		}
		p.table(t)
		p.folded(more, "The run goes on with %d more legs"+everyRow)
	}
	if len(p.r.Gaps) > 0 {
		p.heading("Bays without rails")
		t := NewTable(unnamed("what"), p.measure("from x", "m"), p.measure("to x", "m"))
		gaps, more := firstOf(p.r.Gaps)
		for _, row := range gaps {
			t.Add(row.What, p.number(row.From, "m"), p.number(row.To, "m"))
		}
		p.table(t)
		p.folded(more, "%d more follow them along the run"+everyRow)
	}
}

func (p *printer) posts() {
	p.heading("Posts: largest design actions at the base, largest movement of the top")
	legs := len(p.r.Legs) > 1
	if legs {
		p.sentence("Each is told in the axes of its leg. One at a corner is of the leg that ends there, and its movement across is the larger of those across either leg.")
	}
	first, vertical, limit := []Column{Numbers("post")}, "vertical", "of its\nlimit"
	if legs { // the table is wide
		first, vertical, limit = append(first, Numbers("leg")), "vert-\nical", "of\nlimit"
	}
	t := NewTable(append(first, p.measure("at x", "m"),
		p.measure("moment", "Nm"), p.measure("shear", "N"), p.measure("axial", "N"),
		Numbers("util-\nisation"), p.measure("across", "mm"), p.measure("along", "mm"),
		p.measure(vertical, "mm"), Numbers(limit))...)
	shown := selectPosts(p.r.Posts)
	for _, row := range shown {
		first := []string{strconv.Itoa(row.Post)}
		if legs {
			first = append(first, strconv.Itoa(row.Leg))
		}
		t.Add(append(first, p.station(row.X),
			p.number(row.BaseMoment, "Nm"), p.number(row.BaseShear, "N"), p.number(row.BaseAxial, "N"),
			Utilisation(row.Utilisation, check.Fail), p.number(row.TopDeflection, "mm"),
			p.number(row.AlongDeflection, "mm"), p.number(row.VerticalDeflection, "mm"),
			Utilisation(row.DeflectionUtilisation, check.Unchecked))...)
	}
	p.table(t)
	if more := len(p.r.Posts) - len(shown); more > 0 {
		p.sentence(fmt.Sprintf("The ends and the worst of %d posts; the other %d are in the JSON.", len(p.r.Posts), more))
		p.hiddenPosts(shown)
	}
	p.frequency()
}

// hiddenPosts counts the posts that are over a limit and not among those shown.
func (p *printer) hiddenPosts(shown []check.PostRow) {
	over := func(row check.PostRow) (strength, movement int) {
		if row.Utilisation != nil && *row.Utilisation > 1 {
			strength = 1
		}
		if row.DeflectionUtilisation != nil && *row.DeflectionUtilisation > 1 {
			movement = 1
		}
		return strength, movement
	}
	strength, movement := 0, 0
	for _, row := range p.r.Posts {
		s, m := over(row)
		strength, movement = strength+s, movement+m
	}
	for _, row := range shown {
		s, m := over(row)
		strength, movement = strength-s, movement-m
	}
	if strength > 0 || movement > 0 {
		p.sentence(fmt.Sprintf("Of the others %d have a utilisation above 1.000 and %d a movement beyond its limit.", strength, movement))
	}
}

// frequency prints the lowest natural frequency of the run.
func (p *printer) frequency() {
	switch f := p.r.Frequency; {
	case f == nil:
	case f.Lowest == nil:
		p.sentence("Lowest natural frequency: " + f.Words + ".")
	default:
		p.sentence(fmt.Sprintf("Lowest natural frequency, for information: %s Hz (%s).", significantTo(*f.Lowest, 3), f.Words))
	}
}

// station prints where a post stands: in US units to a tenth of an inch, for the table is
// wide.
func (p *printer) station(x float64) string {
	if p.units == quantity.US {
		return quantity.FeetAndInchesShort(x, 1)
	}
	return p.number(x, "m")
}

func (p *printer) rails() {
	p.heading("Rails: largest design forces, and where the utilisation is largest")
	t := NewTable(Words("rail"), p.measure("axis", "m"),
		p.measure("moment", "Nm"), p.measure("shear", "N"), p.measure("torsion", "Nm"),
		p.measure("axial", "N"), Numbers("util-\nisation"), Numbers("in\nbay"), p.measure("at x", "m"))
	for _, row := range p.r.Rails {
		t.Add(row.Rail, p.number(row.Height, "m"), p.number(row.Moment, "Nm"), p.number(row.Shear, "N"),
			p.number(row.Torsion, "Nm"), p.number(row.Axial, "N"), Utilisation(row.Utilisation, check.Fail),
			strconv.Itoa(row.Bay), p.number(row.AtX, "m"))
	}
	p.table(t)
	p.heading("Rails: largest movements; span is from the chord between a bay's ends")
	t = NewTable(Words("rail"), p.measure("across", "mm"), p.measure("span", "mm"),
		p.measure("along", "mm"), p.measure("vertical", "mm"), Numbers("of its\nlimit"))
	for _, row := range p.r.Rails {
		t.Add(row.Rail, p.number(row.Deflection, "mm"), p.number(row.SpanDeflection, "mm"),
			p.number(row.AlongDeflection, "mm"), p.number(row.VerticalDeflection, "mm"),
			Utilisation(row.DeflectionUtilisation, check.Unchecked))
	}
	p.table(t)
}
