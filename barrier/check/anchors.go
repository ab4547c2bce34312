package check

import (
	"fmt"
	"math"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// bolts are the bolts of a foot and what it does to them.
type bolts interface {
	count() int
	// under returns what the actions do to the bolts, before it is asked of one of them. It is
	// handed on by value: a search keeps nothing.
	under(a FootActions) burden
	// force returns tension and shear in a bolt, N.
	force(b burden, i int) (tension, shear float64)
	// together returns the tension of all bolts, N.
	together(b burden) float64
	// sheared returns the shear of all bolts, N: the force in the plane that they hold the foot to,
	// and its formula.
	sheared(a *FootActions) (force float64, formula string)
	// noteTension and noteShear write the working of the force in a bolt, T and V.
	noteTension(a *FootActions, i int, r *Recorder)
	noteShear(a *FootActions, i int, r *Recorder)
	// row tells where a bolt stands.
	row(i int) BoltRow
}

// burden is what a foot does to its bolts: of a flange, or of a bracket.
type burden struct {
	FootActions
	pull          // of a flange
	bracketBurden // of a bracket
}

// OnFlange is the place of a bolt that stands at a bearing.
const OnFlange = "flange"

// BoltRow is a bolt of a foot with what it carries under the load that pulls one of the bolts
// most.
type BoltRow struct {
	Post    int     `json:"post"`        // number of the post, from 1
	Bolt    int     `json:"bolt"`        // number of the bolt, from 1
	Place   string  `json:"place"`       // OnFlange, "worst of any bearing", "upper row", "lower row"
	Bearing float64 `json:"bearing_deg"` // from outward towards the end of the run; of a bracket 0
	Outward float64 `json:"outward_m"`   // from the axis of the post; of a bracket 0
	Along   float64 `json:"along_m"`     // from the axis of the post, along the run
	Up      float64 `json:"up_m"`        // of a bracket, from where the post is held; of a flange 0
	Tension float64 `json:"tension_N"`
	Shear   float64 `json:"shear_N"`
	Load    string  `json:"load"`
}

// anchoring are the checks of the bolts of one kind of foot.
type anchoring struct {
	kind    string // "flange", "side"
	anchors *barrier.Anchors
	bolts   bolts
	basis   loads.Basis
}

// aisc reports whether the steel of the bolts is judged by AISC 360.
func (n *anchoring) aisc() bool { return n.basis == loads.BasisLRFD || n.basis == loads.BasisASD }

// footings are the checks and demands of the bolts.
func (n *anchoring) footings() []footing {
	a := n.anchors
	tension := n.one("tension", a.Tension, n.mostTension)
	shear := n.one("shear", a.Shear, n.mostShear)
	out := []footing{tension, shear}
	_, formula := n.bolts.sheared(&FootActions{})
	for _, group := range [...]struct {
		name, formula string
		given         *float64
		of            func(*FootActions) float64
	}{{"group-tension", "", a.GroupTension, n.groupTension}, {"group-shear", formula, a.GroupShear, n.groupShear}} {
		if group.given != nil {
			out = append(out, n.against(group.name, group.given, group.of, func(a *FootActions, r *Recorder) {
				if group.formula == "" {
					r.given("demand on all bolts together", "Ed", group.of(a), "N", derived, "")
					return
				}
				r.step("demand on all bolts together", "Ed", group.of(a), "N", group.formula, "")
			}))
		}
	}
	if a.Tension != nil && a.Shear != nil {
		out = append(out, n.interaction())
	}
	if a.Bolt != nil && a.Class != nil {
		out = append(out, n.steel())
	}
	return out
}

// id names a check of the foot.
func (n *anchoring) id(name string) string { return "base-" + n.kind + "-" + name }

// mostTension returns the largest tension in a bolt and which it is.
func (n *anchoring) mostTension(a *FootActions) (most float64, bolt int) {
	b := n.bolts.under(*a)
	for i := range n.bolts.count() {
		if t, _ := n.bolts.force(b, i); t > most {
			most, bolt = t, i
		}
	}
	return most, bolt
}

// mostShear returns the largest shear in a bolt and which it is.
func (n *anchoring) mostShear(a *FootActions) (most float64, bolt int) {
	b := n.bolts.under(*a)
	for i := range n.bolts.count() {
		if _, v := n.bolts.force(b, i); v > most {
			most, bolt = v, i
		}
	}
	return most, bolt
}

// mostBy returns the largest of a rule of tension and shear in a bolt, and which it is.
func (n *anchoring) mostBy(a *FootActions, rule func(t, v float64) float64) (most float64, bolt int) {
	b := n.bolts.under(*a)
	for i := range n.bolts.count() {
		if u := rule(n.bolts.force(b, i)); u > most {
			most, bolt = u, i
		}
	}
	return most, bolt
}

// groupTension returns the tension of all bolts together, N.
func (n *anchoring) groupTension(a *FootActions) float64 {
	return n.bolts.together(n.bolts.under(*a))
}

// groupShear returns the shear of all bolts together, N.
func (n *anchoring) groupShear(a *FootActions) float64 {
	force, _ := n.bolts.sheared(a)
	return force
}

// note writes the working of the force in a bolt.
func (n *anchoring) note(name string, a *FootActions, i int, r *Recorder) {
	if r == nil {
		return
	}
	if name == "shear" {
		n.bolts.noteShear(a, i, r)
		return
	}
	n.bolts.noteTension(a, i, r)
	r.bolts = nil
	b := n.bolts.under(*a)
	for i := range n.bolts.count() {
		row := n.bolts.row(i)
		row.Bolt = i + 1
		row.Tension, row.Shear = n.bolts.force(b, i)
		r.bolts = append(r.bolts, row)
	}
}

// one is the check of one bolt in tension or in shear, or the demand.
func (n *anchoring) one(name string, given *float64, most func(*FootActions) (float64, int)) footing {
	if given != nil {
		return n.against(name, given, func(a *FootActions) float64 { v, _ := most(a); return v }, func(a *FootActions, r *Recorder) {
			v, i := most(a)
			n.note(name, a, i, r)
			r.step("demand on one bolt", "Ed", v, "N", map[string]string{"tension": "T", "shear": "V"}[name], "")
		})
	}
	return footing{
		id: n.id(name), link: groundLink, level: analysis.Strength, provenance: "derived",
		open: "no resistance given: post.base." + n.kind + "." + name, what: "anchor " + name + ", per bolt", unit: "N",
		judge: func(a *FootActions, r *Recorder) float64 {
			v, i := most(a)
			n.note(name, a, i, r)
			return v
		},
	}
}

// given is a resistance of the anchors, named by what of, as the user gives it.
func (n *anchoring) given(of string, resistance *float64) resisting {
	return resisting{given: resistance, values: n.anchors.Values, factor: n.anchors.ValuesFactor, by: of}
}

// against is the check of a demand against what is given; note notes the demand, Ed.
func (n *anchoring) against(name string, given *float64, of func(*FootActions) float64, note func(*FootActions, *Recorder)) footing {
	return footing{id: n.id(name), link: groundLink, level: levelOf(n.anchors.Values), provenance: usersOwn, judge: against(n.given("anchor resistance", given), "N", of, note)}
}

// interaction is the check of tension with shear in one bolt. EN 1992-4 Table 7.3 and ACI 318
// 17.8 (clauses from memory) let rules other than the linear sum be used.
func (n *anchoring) interaction() footing {
	pull, across := n.given("tension resistance of a bolt", n.anchors.Tension), n.given("shear resistance of a bolt", n.anchors.Shear)
	tension, shear := pull.Rd(), across.Rd()
	formula, clause := "", ""
	var sum func(t, v float64) float64
	switch n.anchors.Interaction {
	case barrier.PowerSum:
		formula, clause = "βN^1.5 + βV^1.5", "EN 1992-4 Table 7.3"
		sum = func(t, v float64) float64 { return t*math.Sqrt(t) + v*math.Sqrt(v) }
	case barrier.LinearTo120:
		formula, clause = "max((βN + βV) / 1.2, βN, βV)", "EN 1992-4 Table 7.3, linear form"
		sum = func(t, v float64) float64 { return max((t+v)/1.2, t, v) }
	default:
		formula, clause = "βN + βV", "linear sum, cautious"
		sum = func(t, v float64) float64 { return t + v }
	}
	rule := func(t, v float64) float64 { return sum(t/tension, v/shear) }
	return footing{
		id: n.id("interaction"), link: groundLink, level: levelOf(n.anchors.Values), provenance: usersOwn,
		judge: func(a *FootActions, r *Recorder) float64 {
			most, bolt := n.mostBy(a, rule)
			if r != nil {
				pulled, sheared := n.bolts.force(n.bolts.under(*a), bolt)
				n.bolts.noteTension(a, bolt, r)
				n.bolts.noteShear(a, bolt, r)
				pull.note("NR", "N", r)
				across.note("VR", "N", r)
				r.step("share of the tension resistance", "βN", pulled/tension, "1", "T / NRd", "")
				r.step("share of the shear resistance", "βV", sheared/shear, "1", "V / VRd", "")
				r.step("tension with shear", "β", most, "1", formula, clause)
			}
			return r.verdict(most, 1, "1", clause)
		},
	}
}

// steel is the check of the steel of a bolt.
func (n *anchoring) steel() footing {
	judgeOne := n.steelEN
	if n.aisc() {
		judgeOne = n.steelAISC
	}
	rule := func(t, v float64) float64 { return judgeOne(t, v, nil) }
	return footing{
		id: n.id("bolt-steel"), link: footLink, level: analysis.Strength, provenance: analysis.Weakest(n.anchors.Bolt.Provenance, n.anchors.Class.Provenance),
		judge: func(a *FootActions, r *Recorder) float64 {
			most, bolt := n.mostBy(a, rule)
			if r == nil {
				return most
			}
			pulled, sheared := n.bolts.force(n.bolts.under(*a), bolt)
			n.bolts.noteTension(a, bolt, r)
			n.bolts.noteShear(a, bolt, r)
			return judgeOne(pulled, sheared, r)
		},
	}
}

// gammaM2 is the partial factor on bolts of EN 1993-1-8 Table 2.1, recommended value (memory).
const gammaM2 = 1.25

// steelEN judges the steel of a bolt: EN 1993-1-8 Table 3.4, threads in the shear plane
// (memory).
func (n *anchoring) steelEN(t, v float64, r *Recorder) float64 {
	b, c := n.anchors.Bolt, n.anchors.Class
	tension, shear := 0.9*c.Fub*b.StressArea/gammaM2, c.ShearFactor*c.Fub*b.StressArea/gammaM2
	both, alone := v/shear+t/(1.4*tension), t/tension
	if r.keepsSteps() {
		r.given("stress area of "+b.Name, "As", b.StressArea*1e6, "mm²", b.Provenance, "")
		r.step("ultimate strength of class "+c.Name, "fub", c.Fub/1e6, "MPa", "", "EN 1993-1-8 Table 3.1")
		r.step("factor for shear, threads in the plane", "αv", c.ShearFactor, "1", "", "EN 1993-1-8 Table 3.4")
		r.step("partial factor on bolts", "γM2", gammaM2, "1", "", "EN 1993-1-8 Table 2.1")
		r.step("tension resistance", "Ft,Rd", tension, "N", "0.9 fub As / γM2", "EN 1993-1-8 Table 3.4")
		r.step("shear resistance", "Fv,Rd", shear, "N", "αv fub As / γM2", "EN 1993-1-8 Table 3.4")
		r.step("tension with shear", "both", both, "1", "V / Fv,Rd + T / (1.4 Ft,Rd)", "EN 1993-1-8 Table 3.4")
		r.step("tension alone", "alone", alone, "1", "T / Ft,Rd", "EN 1993-1-8 Table 3.4")
	}
	return r.verdict(math.Max(both, alone), 1, "1", "EN 1993-1-8 Table 3.4")
}

// steelAISC judges the steel of a bolt: AISC 360 J3.6 and J3.7 on the nominal area, φ 0.75 and
// Ω 2.00 (memory). F'nt = 1.3 Fnt - Fnt frv/(φ Fnv) ≤ Fnt is the sum of the ratios up to 1.3.
func (n *anchoring) steelAISC(t, v float64, r *Recorder) float64 {
	b, c := n.anchors.Bolt, n.anchors.Class
	k, factor, symbol, formulas := 0.75, 0.75, "φ", [2]string{"φ Fnt Ab", "φ Fnv Ab"}
	if n.basis == loads.BasisASD {
		k, factor, symbol, formulas = 1/2.0, 2, "Ω", [2]string{"Fnt Ab / Ω", "Fnv Ab / Ω"}
	}
	tension, shear := k*c.Fnt*b.Area(), k*c.Fnv*b.Area()
	both := (t/tension + v/shear) / 1.3
	if r.keepsSteps() {
		r.given("nominal area of "+b.Name, "Ab", b.Area()*1e6, "mm²", b.Provenance, "")
		r.step("nominal tensile stress of "+c.Name, "Fnt", c.Fnt/1e6, "MPa", "", "AISC 360-16 Table J3.2")
		r.step("nominal shear stress, threads in the plane", "Fnv", c.Fnv/1e6, "MPa", "", "AISC 360-16 Table J3.2")
		r.step("factor on resistance", symbol, factor, "1", "", "AISC 360-16 J3.6")
		r.step("tension resistance", "Rt", tension, "N", formulas[0], "AISC 360-16 J3-1")
		r.step("shear resistance", "Rv", shear, "N", formulas[1], "AISC 360-16 J3-1")
		r.step("tension alone", "ft", t/tension, "1", "T / Rt", "AISC 360-16 J3-1")
		r.step("shear alone", "fv", v/shear, "1", "V / Rv", "AISC 360-16 J3-1")
		r.step("tension with shear", "both", both, "1", "(ft + fv) / 1.3", "AISC 360-16 J3-3")
	}
	return r.verdict(max(both, t/tension, v/shear), 1, "1", "AISC 360-16 J3.6, J3.7")
}

// boltRows tells what each bolt carries under the load that pulls one of them most.
func (c *run) boltRows() {
	var worst *finding
	for _, found := range [...][]finding{c.worst.findings, c.worst.demandsOnFeet} {
		for i := range found {
			f := &found[i]
			if (f.id == "base-flange-tension" || f.id == "base-side-tension") && (worst == nil || worst.worse(f)) {
				worst = f
			}
		}
	}
	if worst == nil || worst.placed.Value <= 0 {
		return
	}
	r := &Recorder{}
	worst.judged(r)
	for _, row := range r.bolts {
		row.Post, row.Load = worst.member+1, fmt.Sprintf("%s: %s", worst.placed.Combination.String(), c.loadWords(worst))
		c.out.Bolts = append(c.out.Bolts, row)
	}
}
