package check

import (
	"fmt"
	"math"
	"sync"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// Stainless steel has no straight part in its stress-strain curve: its movements go by the
// secant modulus, which falls with the stress.

// strainHardening is the exponent n of the stress-strain curve of a grade.
type strainHardening struct {
	grade, family string
	n             float64

	standard, edition, clause, source, provenance string
}

var strainHardenings = sync.OnceValue(func() (out []strainHardening) {
	const table = "strain_hardening.csv"
	for _, row := range tableRows(table) {
		out = append(out, strainHardening{row[0], row[1], tableNumber(table, row[2]), row[3], row[4], row[5], row[6], row[7]})
	}
	return out
})

// hardeningOf returns the exponent of a grade, that of any other grade for one that the table
// does not name.
func hardeningOf(g *sections.Grade) strainHardening {
	rows := strainHardenings()
	for _, row := range rows {
		if row.grade == g.Name {
			return row
		}
	}
	return rows[len(rows)-1]
}

// secantModulus returns the secant modulus at a stress, Pa, of any sign:
// Es,i = E/[1 + 0.002 (E/σi) (σi/fy)^n]. EN 1993-1-4:2006 4.2(5), expression (4.2); provenance:
// memory.
func secantModulus(E, fy, n, sigma float64) float64 {
	sigma = math.Abs(sigma)
	if sigma == 0 {
		return E
	}
	return E / (1 + 0.002*E/sigma*math.Pow(sigma/fy, n))
}

// softening is by how much more a barrier moves than on the modulus of elasticity: E/Es at the
// worst section of a tube of stainless steel. A nil one is that of a barrier without such tubes.
//
// EN 1993-1-4:2006 4.2(5), (6) lets Es be taken as its least value along a member. Every part
// of a movement that the tubes give grows by E/Es at most, and that of the feet does not grow;
// all of it is multiplied by the largest E/Es of any tube. The forces stay those of the frame
// on the modulus of elasticity.
type softening struct {
	where     string
	tube      *barrier.Member
	hardening strainHardening
	axial     float64 // N/A, Pa, tension positive
	bending   float64 // M/Wel, Pa
	load      string
	ratio     float64 // E/Es
}

// factor returns E/Es.
func (s *softening) factor() float64 {
	if s == nil {
		return 1
	}
	return s.ratio
}

// softeningAt returns E/Es of stresses N/A and M/Wel: Es is the mean of those of the tension
// and the compression side. EN 1993-1-4:2006 4.2(5), expression (4.1); provenance: memory.
func softeningAt(g *sections.Grade, n, axial, bending float64) float64 {
	tension, compression := secantModulus(g.E, g.Fy, n, bending+axial), secantModulus(g.E, g.Fy, n, bending-axial)
	return g.E / ((tension + compression) / 2)
}

// stresses returns N/A and M/Wel of a state, Pa, with second order as far as it is judged.
func stresses(m *barrier.Member, t resistance, s *analysis.State) (axial, bending float64) {
	return s.N / m.Ring.Area, s.Moment() * printedAmplification(t, s) / m.Ring.Wel
}

// softeningOf returns the worst softening of any tube of stainless steel under characteristic
// loads with the permanent ones, accidental actions aside.
func (c *run) softeningOf(a *analysis.Analysis, t *tubes) *softening {
	var worst *softening
	look := func(e *analysis.Element, m *barrier.Member, of resistance, name func(*analysis.Placed) string) {
		if m.Grade.Material != sections.Stainless {
			return
		}
		hardening := hardeningOf(&m.Grade)
		n := hardening.n
		measure := analysis.Measure{
			Of: func(s *analysis.State) float64 {
				axial, bending := stresses(m, of, s)
				return softeningAt(&m.Grade, n, axial, bending)
			},
			Bound: func(s *analysis.State) float64 { // both sides at the larger stress
				s.N = -math.Abs(s.N)
				axial, bending := stresses(m, of, s)
				return softeningAt(&m.Grade, n, 0, bending-axial)
			},
		}
		q := analysis.Query{Level: analysis.Characteristic, Measures: []analysis.Measure{measure}, Only: func(a *analysis.Action) bool { return !a.Accidental }}
		if p := a.WorstOf(e, q)[0][0]; p.Found() && (worst == nil || analysis.Beats(p.Value, worst.ratio)) {
			worst = &softening{where: name(&p), tube: m, hardening: hardening, load: p.LoadIn(c.o.Units), ratio: p.Value}
			worst.axial, worst.bending = stresses(m, of, &p.State)
		}
	}
	for i := range c.d.Run.Posts {
		look(a.Post(i), c.d.PostMember(i), t.of(true, i), func(*analysis.Placed) string { return postName(i) })
	}
	for i := range c.d.Rails {
		look(a.Rail(i), &c.d.Rails[i].Member, t.rails[i], func(p *analysis.Placed) string { return c.railName(i, p.Probe.Bay) })
	}
	for i := range c.d.Braces {
		look(a.Brace(i), &c.d.Braces[i].Member, t.braces[i], func(*analysis.Placed) string { return braceName(i) })
	}
	return worst
}

// record notes how E/Es is found.
func (s *softening) record(r *Recorder) {
	if s == nil || !r.keepsSteps() {
		return
	}
	const clause = "EN 1993-1-4 4.2(5)"
	g, n := &s.tube.Grade, s.hardening.n
	tension, compression := s.bending+s.axial, s.bending-s.axial
	r.step("modulus of elasticity of the stainless tube", "E", g.E/1e6, "MPa", "", "")
	r.step("its 0.2 % proof strength", "fy", g.Fy/1e6, "MPa", "", "")
	r.step("exponent of its stress-strain curve", "n", n, "1", "", clause)
	at := ", " + s.where + " under characteristic loads"
	r.given("stress of axial force N/A, tension positive"+at, "σN", s.axial/1e6, "MPa", derived, "")
	r.given("stress of bending M/Wel there", "σM", s.bending/1e6, "MPa", derived, "")
	r.step("stress on the tension side", "σ1", math.Abs(tension)/1e6, "MPa", "|σM + σN|", clause)
	r.step("stress on the compression side", "σ2", math.Abs(compression)/1e6, "MPa", "|σM - σN|", clause)
	e1, e2 := secantModulus(g.E, g.Fy, n, tension), secantModulus(g.E, g.Fy, n, compression)
	r.step("secant modulus on the tension side", "Es,1", e1/1e6, "MPa", "E/[1 + 0.002 (E/σ1) (σ1/fy)^n]", clause)
	r.step("secant modulus on the compression side", "Es,2", e2/1e6, "MPa", "E/[1 + 0.002 (E/σ2) (σ2/fy)^n]", clause)
	r.step("secant modulus, its least along any tube", "Es", (e1+e2)/2/1e6, "MPa", "(Es,1 + Es,2)/2", "EN 1993-1-4 4.2(5), 4.2(6)")
	r.step("factor on movements", "kE", s.ratio, "1", "E/Es", clause)
}

// recordMovement notes the movement that is judged, m, where it is not that of the frame.
func (s *softening) recordMovement(r *Recorder, d float64, formula string) {
	if s != nil {
		r.step("movement on the secant modulus", "δs", d*1e3, "mm", formula, "")
	}
}

// softestTube returns the largest softening of the models that stand, nil for none.
func (c *run) softestTube() *softening {
	var worst *softening
	for _, m := range c.models {
		if worst == nil || m.soft != nil && analysis.Beats(m.soft.ratio, worst.ratio) {
			worst = m.soft
		}
	}
	return worst
}

// saySoftening says by what movements are multiplied.
func (c *run) saySoftening() {
	s := c.softestTube()
	if s == nil {
		return
	}
	c.say(fmt.Sprintf("Movements are multiplied by E/Es of stainless steel, up to %s: its secant modulus Es (%s %s, n = %g, from memory) is taken at the largest stress of any such tube, %s in %s under %s, unfactored, for every part of every movement: cautious. Forces are those on E.",
		quantity.Fix(math.Ceil(s.ratio*1e3-1e-6)/1e3, 3), s.hardening.standard, s.hardening.clause, s.hardening.n,
		quantity.Format(s.bending+math.Abs(s.axial), quantity.Pressure, c.o.Units), s.where, s.load))
}

// softeningSources tells where the exponents come from.
func (c *run) softeningSources() []string {
	var out []string
	if s := c.softestTube(); s != nil {
		h := &s.hardening
		out = append(out, fmt.Sprintf("exponent n = %g of the stress-strain curve (%s): %s %s %s; %s (%s)", h.n, h.family, h.standard, h.edition, h.clause, h.source, h.provenance))
	}
	return out
}
