package report

import (
	"fmt"
	"strconv"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// Posts and rails.

func (p *printer) posts() {
	p.heading("Posts: largest design actions at the base, largest movement of the top")
	t := NewTable(Numbers("post"), p.measure("at x", "m"),
		p.measure("moment", "Nm"), p.measure("shear", "N"), p.measure("axial", "N"),
		Numbers("util-\nisation"), p.measure("across", "mm"), p.measure("along", "mm"),
		p.measure("vertical", "mm"), Numbers("of its\nlimit"))
	shown := selectPosts(p.r.Posts)
	for _, row := range shown {
		t.Add(strconv.Itoa(row.Post), p.station(row.X),
			p.number(row.BaseMoment, "Nm"), p.number(row.BaseShear, "N"), p.number(row.BaseAxial, "N"),
			Utilisation(row.Utilisation, check.Fail), p.number(row.TopDeflection, "mm"),
			p.number(row.AlongDeflection, "mm"), p.number(row.VerticalDeflection, "mm"),
			Utilisation(row.DeflectionUtilisation, check.Unchecked))
	}
	p.table(t)
	if more := len(p.r.Posts) - len(shown); more > 0 {
		p.sentence(fmt.Sprintf("The ends and the worst of %d posts; the other %d are in the JSON.", len(p.r.Posts), more))
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
