package report

import (
	"fmt"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// What stands beside the checks: rules, hand values, what is open, what was taken
// for granted, and what proves the rest.

func (p *printer) geometry() {
	if len(p.r.Geometry) == 0 {
		return
	}
	p.heading("Geometry rules of the schedules")
	rows := p.r.Geometry
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].Schedule == rows[0].Schedule && rows[n].Occupancy == rows[0].Occupancy {
			n++
		}
		if whose := joined(": ", rows[0].Schedule, rows[0].Occupancy); whose != "" {
			p.lead("Of " + whose)
		}
		p.rules(rows[:n])
		rows = rows[n:]
	}
}

// rules prints the geometry rules of one schedule.
func (p *printer) rules(rows []check.GeometryRow) {
	t := NewTable(Words("rule").forPaper(), Words("status"), Numbers("required"), Numbers("found"), unnamed("unit"))
	for _, row := range rows {
		below := row.Rule // plain text has no room for it beside the numbers
		if p.foldsTrails {
			below = ""
		}
		t.Add(row.Rule, string(row.Status), p.number(row.Required, row.Unit), p.number(row.Found, row.Unit), p.unit(row.Unit))
		t.Note(joined("; ", below, row.Standard+bracketed(row.Provenance)), row.Note)
	}
	p.table(t)
}

func bracketed(word string) string {
	if word == "" {
		return ""
	}
	return " (" + word + ")"
}

func (p *printer) handChecks() {
	if len(p.r.HandChecks) == 0 {
		return
	}
	p.heading("Hand checks beside the frame's values; they are no bound")
	t := NewTable(Words("quantity"), Numbers("hand"), Numbers("frame"), unnamed("unit"), Numbers("frame / hand"))
	for _, row := range p.r.HandChecks {
		t.Add(row.What, p.number(row.Hand, row.Unit), p.number(row.Frame, row.Unit), p.unit(row.Unit), quantity.Fix(row.Ratio, 2))
		t.Note(joined("; ", row.Element, row.Formula), row.Why)
	}
	p.table(t)
}

// openItems prints what was not checked, the splices that are proposed, and
// what the user left out.
func (p *printer) openItems() {
	p.heading("Not checked")
	p.items(p.r.Unchecked)
	if len(p.r.Proposal) > 0 {
		p.heading("Splices that are proposed, ready for the file")
		for _, proposal := range p.r.Proposal {
			p.words("  - ", "    ", "rail "+proposal.Rail+": largest utilisation of the barrier with them "+Utilisation(proposal.LargestUtilisation, check.Fail))
			for line := range strings.SplitSeq(strings.TrimSpace(proposal.TOML), "\n") {
				p.line("      " + line)
			}
		}
	}
	p.heading("Left out by the user")
	p.items(p.r.LeftOut)
}

func (p *printer) items(items []check.Item) {
	if len(items) == 0 {
		p.sentence("nothing")
	}
	items, more := firstOf(items)
	for _, item := range items {
		reason := strings.TrimPrefix(item.Reason, "left out by the user") // the heading says so
		p.item(joined("; ", joined(": ", item.Item, reason), p.demand(item), item.Load))
	}
	if more > 0 {
		p.item(fmt.Sprintf("and %d more"+strings.TrimSuffix(everyRow, "."), more))
	}
}

// demand says what an item must carry, or comes to where it is a movement.
func (p *printer) demand(item check.Item) string {
	switch item.Unit {
	case "", "1":
		return ""
	case "mm":
		return "comes to " + p.value(item.Demand, item.Unit)
	}
	return "must carry " + p.value(item.Demand, item.Unit)
}

func (p *printer) assumptions() {
	p.heading("Assumptions")
	for _, text := range p.r.Assumptions {
		p.item(text)
	}
}

func (p *printer) inputs() {
	p.heading("Inputs as read")
	const most, mostLetters = 200, 600 // of the keys, and of the value of one
	inputs := p.r.Inputs[:min(len(p.r.Inputs), most)]
	longest := 0
	for _, input := range inputs {
		longest = max(longest, len(input.Key))
	}
	for _, input := range inputs {
		text := input.Text
		if len(text) > mostLetters {
			cut := strings.LastIndex(text[:mostLetters], " ")
			text = fmt.Sprintf("%s ... (%d characters in all; whole in the JSON)", strings.ToValidUTF8(text[:max(cut, 0)], ""), len(text))
		}
		p.paragraph(inputBlock, fmt.Sprintf("  %-*s  ", longest, input.Key), strings.Repeat(" ", longest+4), text).place = input.Line
	}
	p.folded(len(p.r.Inputs)-len(inputs), "%d more keys are in the JSON.")
}

func (p *printer) sources() {
	p.heading("Sources")
	for _, text := range p.r.Sources {
		p.item(text)
	}
}

func (p *printer) selfCheck() {
	p.heading("Self-check: the residuals are below")
	s := p.r.SelfCheck
	p.words("  stiffness    ", "", s.StiffnessResidual)
	p.words("  equilibrium  ", "", s.EquilibriumResidual)
	p.words("  placement    ", "", s.PlacementResidual)
}
