package report

import (
	"fmt"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// survey prints what was measured and found, the barrier as new beside it, and what to do first.
func (p *printer) survey() {
	s := p.r.Survey
	if s == nil {
		return
	}
	p.heading(strings.TrimSpace("Survey " + labelled("of ", s.Date)))
	t := NewTable(Words("element"), p.measure("wall", "mm"), Numbers("of\nnominal"), p.measure("outside", "mm"), p.measure("counts\nwall", "mm"), p.measure("outside", "mm"), Numbers("util-\nisation"))
	rows, more := firstOf(s.Rows)
	for _, row := range rows {
		share := ""
		if row.OfNominal != nil {
			share = quantity.Fix(*row.OfNominal*100, 0) + " %"
		}
		t.Add(row.Element, p.measured(row.Wall), share, p.measured(row.OD), p.measured(row.CountedWall), p.measured(row.CountedOD), p.useOf(row.Worst))
		t.Note(row.Found)
	}
	p.table(t)
	p.folded(more, "%d more were measured or found"+everyRow)
	if len(s.NotMeasured) > 0 {
		p.sentence("No wall measured, and counted as new but for a measured diameter: " + strings.Join(s.NotMeasured, ", ") + ".")
	}
	p.line("")
	p.asNewAndSurveyed(s)
	if s.Worst.ID != "" {
		found := "nothing was found amiss with it"
		if s.WorstFound != "" {
			found = s.WorstFound
		}
		p.sentence(fmt.Sprintf("The worst is %s: %s %s (%s).", s.Worst.Element, s.Worst.ID, p.useOf(s.Worst), found))
	}
	p.order(s.Order)
}

// asNewAndSurveyed sets the barrier as new beside the barrier as it was found.
func (p *printer) asNewAndSurveyed(s *check.SurveyResult) {
	t := NewTable(Words("the barrier"), Words("status"), Words("governing check"), Words("element"), Numbers("utilisation"))
	add := func(what string, of *check.SurveyedStatus) {
		t.Add(what, string(of.Status), of.Governing.ID, of.Governing.Element, p.useOf(of.Governing))
	}
	if s.AsNew != nil {
		add("as new", s.AsNew)
	}
	add("as surveyed", &s.AsSurveyed)
	p.table(t)
	if s.AsNew == nil {
		p.sentence("As new it could not be checked: " + s.AsNewNote)
	}
	if p.r.Age != nil {
		p.sentence("As new it has the walls that it was built with, as surveyed those of year " + yearWords(p.r.Age.Year) + ".")
	}
	p.line("")
}

// order prints what to do, the first first.
func (p *printer) order(steps []check.SurveyStep) {
	if len(steps) == 0 {
		return
	}
	p.sentence("What to do first:")
	some, more := firstOf(steps)
	for i, s := range some {
		about := s.Element
		if s.Found != "" {
			about += ", " + s.Found
		}
		worst := ""
		if s.Worst.ID != "" {
			worst = fmt.Sprintf(" (%s %s)", s.Worst.ID, p.useOf(s.Worst))
		}
		number := fmt.Sprintf("  %d. ", i+1)
		p.words(number, strings.Repeat(" ", len(number)), fmt.Sprintf("%s: %s; %s%s.", about, s.Do, s.Why, worst))
	}
	p.folded(more, "%d more steps follow"+everyRow)
	p.sentence("The order: posts that fail on loose feet, what else fails, fittings, loose feet, thin walls, what was not measured; of each the largest utilisation first. It is no design of a repair: what is done, and whether the barrier stays in use until then, a qualified engineer decides.")
}

// measured prints a reading, mm, as finely as a gauge tells it; nothing where there is none.
func (p *printer) measured(v *float64) string {
	if v == nil {
		return ""
	}
	return p.fine(*v)
}

// useOf prints the utilisation of a reference.
func (p *printer) useOf(ref check.CheckRef) string {
	if ref.ID == "" {
		return ""
	}
	return Utilisation(ref.Utilisation, check.Fail)
}
