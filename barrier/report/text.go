package report

import (
	"io"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// TextOptions says how people read the text report.
type TextOptions struct {
	Units quantity.System // units of tables and values; the words of loads stay as they are
}

// Text writes the report in plain text, 80 columns wide where names allow:
// cautions, verdict, what holds it back, the survey where there is one, load path, posts, rails, braces, fittings,
// feet, checks (with their trails if the result has them), geometry, hand checks,
// not checked and left out, assumptions, loads with the steps to those of nature, inputs
// and the other cautions, sources, self-check.
func Text(w io.Writer, r *check.Result, o TextOptions) error {
	p := &printer{r: r, units: o.Units}
	for _, section := range []func(){
		p.topCautions, p.headline, p.verdict, p.governing, p.survey, p.loadPath, p.frames,
		p.path, p.posts, p.rails, p.braces, p.fittings, p.ends, p.feet, p.braceFeet, p.checks, p.trails, p.geometry,
		p.handChecks, p.openItems, p.assumptions, p.loads, p.nature, p.expansion, p.inputs, p.otherCautions,
		p.sources, p.selfCheck,
	} {
		section()
	}
	return p.writeText(w)
}

// printer makes a draft of a result.
type printer struct {
	draft
	r     *check.Result
	units quantity.System

	foldsTrails bool // for sheets, which have room for the trail of a check under its row
}

// drawings puts the drawings of a result on paper.
func (p *printer) drawings() {
	all := drawings(p.r, TextOptions{Units: p.units})
	if len(all) == 0 {
		return
	}
	p.heading("Drawings")
	for _, d := range all {
		p.draw(d)
	}
}
