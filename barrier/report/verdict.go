package report

import (
	"fmt"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// What stands at the top of the report: cautions, verdict, and what leads to it.

// headline names the barrier and the basis.
func (p *printer) headline() {
	p.title(p.r.Title)
	for _, text := range [...]string{"basis " + joined(", ", p.r.Basis, labelled("annex ", p.r.Annex)), labelled("project ", p.r.Project), labelled("date ", p.r.Date)} {
		if text != "" {
			p.words("", "  ", text)
		}
	}
	p.age()
}

// labelled puts a label before a text that is there.
func labelled(label, text string) string {
	if text == "" {
		return ""
	}
	return label + text
}

func (p *printer) topCautions() {
	p.heading("Cautions")
	for _, c := range p.r.Cautions {
		if c.ID == "C1" || c.Triggered {
			p.caution(c)
		}
	}
}

func (p *printer) otherCautions() {
	p.heading("Cautions that hold for every barrier")
	for _, c := range p.r.Cautions {
		if c.ID != "C1" && !c.Triggered {
			p.caution(c)
		}
	}
}

func (p *printer) caution(c check.Caution) {
	id := c.ID
	if id == "" {
		id = "-"
	}
	p.words(fmt.Sprintf("  %-4s", id), "      ", c.Text)
}

func (p *printer) verdict() {
	p.heading("Verdict")
	word := strings.ToUpper(string(p.r.Status))
	p.paragraph(verdictBlock, "  "+word+"  ", strings.Repeat(" ", len(word)+4), strings.TrimPrefix(p.r.Headline, "fails: "))
	if !p.r.ScopeComplete {
		p.sentence("The scope is not complete: what was left out is listed below with the demand it must carry.")
	}
}

// governing names the row with the largest utilisation of all, of strength and
// of deflection, and tells the first in full.
func (p *printer) governing() {
	p.heading("What holds it back")
	g := p.r.Governing
	head := "utilisation"
	const wideID = 22 // columns; a longer one takes those of the head
	if max(len(g.Overall.ID), len(g.Strength.ID), len(g.Deflection.ID)) > wideID {
		head = "util-\nisation"
	}
	t := NewTable(unnamed("of"), Words("check"), Words("element"), Numbers(head), unnamed(scaleTo1))
	for _, row := range []struct {
		of  string
		ref check.CheckRef
	}{{"overall", g.Overall}, {"strength", g.Strength}, {"deflection", g.Deflection}} {
		if row.ref.ID == "" {
			t.Add(row.of, "none")
			continue
		}
		t.Add(row.of, row.ref.ID, row.ref.Element, Utilisation(row.ref.Utilisation, check.Fail))
		t.bar(row.ref.Utilisation)
		t.last().leads = &row.ref
	}
	if y := g.FirstYield; y.ID != "" && (y.Utilisation == nil || *y.Utilisation > yieldShown) {
		t.Add("first yield", y.ID, y.Element, Utilisation(y.Utilisation, check.Fail))
		t.bar(y.Utilisation)
		t.last().leads = &y
	}
	p.table(t)
	if g.Geometry != "" {
		p.line("")
		p.sentence("Geometry fails: " + g.Geometry + ".")
	}
	for _, row := range p.r.Checks {
		if g.Overall.Names(&row) {
			p.line("")
			p.sentence(p.division(row))
			for _, note := range checkNotes(row) {
				p.words("  ", "    ", note)
			}
			p.frameFactor(row)
			if row.Provenance == "memory" {
				p.sentence("This check rests on a value from memory: read it in the standard first (C2).")
			}
			return
		}
	}
}

// frameFactor says what second order makes of a check, by the bound in it and by the frame.
func (p *printer) frameFactor(row check.CheckRow) {
	for _, f := range p.r.Governing.SecondOrder {
		if f.ID == row.ID && f.Element == row.Element {
			p.sentence(fmt.Sprintf("Second order: the factor %s in it is a bound; the frame's own run gives %s.", quantity.Fix(f.Bound, 3), quantity.Fix(f.Frame, 3)))
		}
	}
}

// division writes a check as demand / resistance = utilisation.
func (p *printer) division(row check.CheckRow) string {
	return fmt.Sprintf("%s / %s = %s", strings.TrimSpace(p.checkDemand(row)+" "+p.unit(row.Unit)), p.value(row.Resistance, row.Unit),
		Utilisation(row.Utilisation, row.Status))
}

func (p *printer) loadPath() {
	p.heading("Load path, from the rail to the ground")
	t := NewTable(Words("link"), Words("status"), Numbers("utilisation"), unnamed(scaleTo1))
	for _, link := range p.r.LoadPath {
		t.Add(link.Link, string(link.Status), Utilisation(link.Utilisation, link.Status))
		t.bar(link.Utilisation)
		t.Note(link.Note)
	}
	p.table(t)
}

// frames lists the models when more than one was run.
func (p *printer) frames() {
	if len(p.r.Models) < 2 {
		return
	}
	p.heading("Frames that were run; the worst of those that stand counts")
	t := NewTable(Words("joint"), Words("splices"), p.measure("foot", "Nm/rad"),
		Numbers("largest\nutilisation"), Words("stands"))
	for _, m := range p.r.Models {
		t.Add(m.Joint, m.Splices, p.stiffness(m.FootStiffness), Utilisation(m.LargestUtilisation, check.Fail), yesNo(m.Stands))
	}
	p.table(t)
}

func (p *printer) stiffness(k *float64) string {
	if k == nil {
		return "rigid"
	}
	return p.number(*k, "Nm/rad")
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
