package report

import (
	"fmt"
	"io"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// ComparisonJSON writes two designs side by side as one JSON document, by the rules of JSON.
func ComparisonJSON(w io.Writer, c *explore.Comparison) error { return writeJSON(w, c) }

// ComparisonText writes two designs side by side in plain text, 80 columns wide where names allow:
// cautions, the verdicts, the inputs that differ, what the designs come to, each check by its
// worst element, the other cautions.
func ComparisonText(w io.Writer, c *explore.Comparison, o TextOptions) error {
	p := &printer{r: &check.Result{Cautions: c.Cautions}, units: o.Units}
	p.topCautions()
	p.twoDesigns(c)
	p.inputsThatDiffer(c)
	p.comeTo(c)
	p.checksOfBoth(c)
	p.otherCautions()
	return p.writeText(w)
}

// twoDesigns names the designs with their verdicts.
func (p *printer) twoDesigns(c *explore.Comparison) {
	p.title("Two designs side by side")
	for _, of := range []struct {
		letter string
		*explore.Design
	}{{"A", &c.A}, {"B", &c.B}} {
		p.words("  "+of.letter+"  ", "     ", joined(": ", of.File, joined(", ", of.Title, "basis "+of.Basis)))
		word := strings.ToUpper(string(of.Status))
		p.words("     "+word+"  ", "     "+strings.Repeat(" ", len(word)+2), strings.TrimPrefix(of.Headline, "fails: "))
		if !of.ScopeComplete {
			p.words("     ", "     ", "The scope is not complete: nobody has checked here what was left out.")
		}
	}
}

// inputsThatDiffer prints the keys whose values are not the same.
func (p *printer) inputsThatDiffer(c *explore.Comparison) {
	p.heading("What differs in the files")
	if len(c.Inputs) == 0 {
		p.sentence("Nothing: every key has the same value in both.")
		return
	}
	t := NewTable(Words("key"), Words("A"), Words("B"))
	key, a, b := 0, 0, 0
	for _, in := range c.Inputs {
		ofA, ofB := inputOr(in.A), inputOr(in.B)
		t.Add(in.Key, ofA, ofB)
		key, a, b = max(key, widthOf(plain(in.Key))), max(a, widthOf(plain(ofA))), max(b, widthOf(plain(ofB)))
	}
	const between = 2 // columns
	if 2+key+between+a+between+b <= width {
		p.table(t)
	} else {
		for _, in := range c.Inputs {
			p.sentence(in.Key)
			p.words("    A  ", "       ", inputOr(in.A))
			p.words("    B  ", "       ", inputOr(in.B))
		}
	}
	p.sentence(fmt.Sprintf("All else is the same: %d keys.", c.Alike))
}

// inputOr is the value of a key; a dash for one that a file does not have.
func inputOr(text *string) string {
	if text == nil {
		return "-"
	}
	return *text
}

// comeTo prints what the designs come to.
func (p *printer) comeTo(c *explore.Comparison) {
	p.heading("What they come to")
	t := NewTable(unnamed("of"), Words("A"), Words("B"))
	both := func(what string, of func(*explore.Design) string) { t.Add(what, of(&c.A), of(&c.B)) }
	both("verdict", func(d *explore.Design) string { return string(d.Status) })
	both("governed by", func(d *explore.Design) string { return orNone(d.Governing.Overall.ID) })
	both("where", func(d *explore.Design) string { return d.Governing.Overall.Element })
	both("utilisation", func(d *explore.Design) string { return p.useOf(d.Governing.Overall) })
	both("geometry rule that fails", func(d *explore.Design) string { return orNone(d.Governing.Geometry) })
	both("base moment", func(d *explore.Design) string { return p.value(d.BaseMoment, "Nm") })
	both("movement across", func(d *explore.Design) string { return p.value(d.Deflection, "mm") })
	both("mass by the run", func(d *explore.Design) string { return p.massOfRun(d.Mass) })
	both("feet", func(d *explore.Design) string { return fmt.Sprint(d.Feet) })
	both("feet by the run", func(d *explore.Design) string { return p.perRun(d.FeetPerM) })
	both("not checked", func(d *explore.Design) string { return fmt.Sprint(d.Unchecked) })
	both("left out by the user", func(d *explore.Design) string { return fmt.Sprint(d.LeftOut) })
	p.table(t)
	p.sentence("The mass is that of posts, rails and fittings; the moment and the movement are the largest of any post or rail.")
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// massOfRun prints a mass (kg/m) by the metre or the foot of run.
func (p *printer) massOfRun(v float64) string {
	if p.units == quantity.US {
		const kgPerM = 0.45359237 / 0.3048 // of 1 lb/ft, exact
		return quantity.Fix(v/kgPerM, 2) + " lb/ft"
	}
	return quantity.Fix(v, 2) + " kg/m"
}

// perRun prints a number of things by the metre, or by ten feet of run.
func (p *printer) perRun(v float64) string {
	if p.units == quantity.US {
		const tenFeet = 3.048 // m
		return quantity.Fix(v*tenFeet, 3) + " in 10 ft"
	}
	return quantity.Fix(v, 3) + " in 1 m"
}

// checksOfBoth prints the worst of each check. Elements stand in columns where those fit, and below
// their row where they do not.
func (p *printer) checksOfBoth(c *explore.Comparison) {
	p.heading("Each check, by the element that is used most")
	columns := []Column{Words("check"), Numbers("A"), Numbers("B"), Numbers("change")}
	const others = 36 // columns of the numbers and of what stands between
	id, a, b := 0, 0, 0
	for i := range c.Checks {
		pair := &c.Checks[i]
		_, atA := worstWords(pair.A)
		_, atB := worstWords(pair.B)
		id, a, b = max(id, len(pair.ID)), max(a, widthOf(plain(atA))), max(b, widthOf(plain(atB)))
	}
	beside := id+a+b+others <= width
	if beside {
		columns = append(columns, Words("A at"), Words("B at"))
	}
	t := NewTable(columns...)
	for i := range c.Checks {
		pair := &c.Checks[i]
		useA, atA := worstWords(pair.A)
		useB, atB := worstWords(pair.B)
		change := ""
		if pair.Change != nil {
			change = signed(*pair.Change)
		}
		if beside {
			t.Add(pair.ID, useA, useB, change, atA, atB)
			continue
		}
		t.Add(pair.ID, useA, useB, change)
		t.Note(joined("; ", labelled("A at ", atA), labelled("B at ", atB)))
	}
	p.table(t)
	p.sentence("Utilisations are demand over resistance; - where a design has none.")
}

func worstWords(w *explore.CheckUse) (use, at string) {
	if w == nil {
		return "-", ""
	}
	return Utilisation(w.Utilisation, w.Status), w.Element
}

// signed prints a change with its sign.
func signed(v float64) string {
	text := quantity.Fix(v, 3)
	if v > 0 && strings.Trim(text, "0.") != "" {
		return "+" + text
	}
	return text
}
