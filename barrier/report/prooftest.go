package report

import (
	"fmt"
	"io"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// ProofTestText writes a site load test in plain text, 80 columns wide: cautions, the answer, the
// movement to expect, what the load itself uses, the plan, what was measured, the ordinary check
// with it.
func ProofTestText(w io.Writer, s *explore.ProofTest, o TextOptions) error {
	p := &printer{r: &check.Result{Title: s.Title, Basis: s.Basis, Cautions: s.Cautions}, units: o.Units}
	p.topCautions()
	p.headline()
	p.heading("Site load test")
	p.sentence(s.Headline)
	p.proofPredicted(s)
	p.proofStrength(&s.UnderLoad)
	p.proofPlan(s)
	p.proofMeasured(s)
	p.proofChecks(s)
	p.heading("Assumptions")
	for _, text := range s.Assumptions {
		p.item(text)
	}
	p.otherCautions()
	return p.writeText(w)
}

// ProofTestJSON writes a site load test as one JSON document by the rules of JSON.
func ProofTestJSON(w io.Writer, s *explore.ProofTest) error { return writeJSON(w, s) }

// proofPredicted prints the movement to expect on each frame.
func (p *printer) proofPredicted(s *explore.ProofTest) {
	p.heading("Movement to expect across, at the load")
	t := NewTable(p.measure("foot", "Nm/rad"), Words("of the file"), Words("splices"), p.measure("movement", "mm"))
	for _, row := range s.Predicted {
		t.Add(p.stiffness(row.Foot), row.OfFile, row.Splices, p.fine(row.Movement))
	}
	p.table(t)
	if limit := s.Load.Limit; limit != nil {
		p.sentence("The limit of movement there is " + p.value(*limit, "mm") + ".")
	} else {
		p.sentence("No limit of movement is known there.")
	}
}

// fine prints a movement in mm as a gauge is read.
func (p *printer) fine(mm float64) string { return movementIn(p.units, mm) }

// proofStrength prints what the test load itself uses.
func (p *printer) proofStrength(u *explore.ProofStrength) {
	p.heading("Under the test load alone")
	t := NewTable(Words(""), Words("check"), Words("element"), Numbers("util-\nisation"), Words("status"))
	p.addReference(t, "first yield, load as it is", &u.FirstYield, "")
	p.addReference(t, "strength, with its factors", &u.Governing, u.Status)
	p.table(t)
	if u.Caution != "" {
		p.sentence(u.Caution)
	}
}

// addReference adds a check that is named.
func (p *printer) addReference(t *Table, what string, ref *check.CheckRef, status check.Status) {
	if ref.ID == "" {
		t.Add(what, "none", "", "", string(status))
		return
	}
	t.Add(what, ref.ID, ref.Element, Utilisation(ref.Utilisation, check.Fail), string(status))
}

// proofPlan prints the steps, each with who says so.
func (p *printer) proofPlan(s *explore.ProofTest) {
	p.heading("Plan of the test")
	const indent = "               "
	for i, step := range s.Plan {
		p.words(fmt.Sprintf("  %2d %-9s ", i+1, step.What), indent, step.Text)
		p.words(indent, indent, "["+step.By+"]")
	}
}

// proofMeasured prints what was measured, and what each frame makes of it.
func (p *printer) proofMeasured(s *explore.ProofTest) {
	m := s.Measured
	if m == nil {
		return
	}
	p.heading("What was measured, and the base stiffness that explains it")
	measured := p.fine(m.Movement)
	if m.Accuracy != nil {
		measured += " ± " + p.fine(*m.Accuracy)
	}
	measured += " " + p.unit("mm")
	if m.Residual != nil {
		measured += ", of which " + p.fine(*m.Residual) + " " + p.unit("mm") + " stays"
	}
	p.sentence(measured)
	p.line("")
	t := NewTable(p.measure("other feet", "Nm/rad"), Words("splices"), p.measure("if rigid", "mm"), p.measure("if loose", "mm"), p.measure("found", "Nm/rad"))
	for i := range s.Found {
		row := &s.Found[i]
		none := "mechanism"
		if row.None != nil {
			none = p.fine(*row.None)
		}
		found := "nothing"
		if row.State == explore.Explained {
			found = p.stiffness(row.Stiffness)
		}
		t.Add(p.stiffness(row.OtherFeet), row.Splices, p.fine(row.Rigid), none, found)
		if i+1 == len(s.Found) || s.Found[i+1].Words != row.Words { // frames that agree say it once
			t.Note(row.Words)
		}
	}
	p.table(t)
}

// proofChecks prints the ordinary check on the base of the file and on what was found.
func (p *printer) proofChecks(s *explore.ProofTest) {
	p.heading("The ordinary check")
	t := NewTable(Words("status"), Words("governed by"), Words("element"), Numbers("util-\nisation"), Numbers("un-\nchecked"))
	for i := range s.Checks {
		row := &s.Checks[i]
		id, use := "-", "-"
		if row.Governing.ID != "" {
			id, use = row.Governing.ID, Utilisation(row.Governing.Utilisation, check.Fail)
		}
		t.Add(string(row.Status), id, row.Governing.Element, use, fmt.Sprint(row.Unchecked))
		t.Note("feet: "+row.Feet, row.Reason)
		if d := &row.Deflection; d.ID != "" && d.ID != row.Governing.ID {
			t.Note(fmt.Sprintf("deflection %s: %s of %s", Utilisation(d.Utilisation, check.Fail), d.ID, d.Element))
		}
	}
	p.table(t)
}

// movementIn prints a movement, mm, to what a gauge tells: a hundredth of a millimetre, a thousandth
// of an inch.
func movementIn(units quantity.System, mm float64) string {
	if units == quantity.US {
		return quantity.Fix(readIn(units, mm, "mm"), 3)
	}
	return quantity.Fix(mm, 2)
}
