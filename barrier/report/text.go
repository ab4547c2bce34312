package report

import (
	"bytes"
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
		p.topCautions, p.title, p.verdict, p.governing, p.survey, p.loadPath, p.frames,
		p.path, p.posts, p.rails, p.braces, p.fittings, p.ends, p.feet, p.braceFeet, p.checks, p.trails, p.geometry,
		p.handChecks, p.openItems, p.assumptions, p.loads, p.nature, p.expansion, p.inputs, p.otherCautions,
		p.sources, p.selfCheck,
	} {
		section()
	}
	if p.err != nil {
		return p.err
	}
	_, err := w.Write(p.out.Bytes())
	return err
}

// printer collects the report and keeps the first error.
type printer struct {
	out   bytes.Buffer
	layer layer
	r     *check.Result
	units quantity.System
	err   error
}

func (p *printer) line(text string) { writeLine(&p.out, plain(text)) }

func (p *printer) heading(text string) {
	if p.out.Len() > 0 {
		p.out.WriteByte('\n')
	}
	p.line(text)
}

// words writes text under a first indent, its further lines under the second.
func (p *printer) words(first, further, text string) { writeWords(&p.out, first, further, text) }

func (p *printer) sentence(text string) { p.words("  ", "  ", text) }

func (p *printer) item(text string) { p.words("  - ", "    ", text) }

func (p *printer) table(t *Table) {
	if err := t.textBy(&p.layer, &p.out); err != nil && p.err == nil {
		p.err = err
	}
}
