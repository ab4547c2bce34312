package check

import (
	"math"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// outOfTrue is how a basis runs its second order.
type outOfTrue struct {
	slope float64 // of the frame in the adverse direction
	scale float64 // of the loads, with which their answers are divided, at the level of strength
	words string
}

// outOfTrueBy returns how a basis runs its second order; provenance: memory.
//
// EN 1993-1-1:2005 5.3.2(3)a has sway imperfections of φ = αh αm/200, here with αh = αm = 1,
// as forces φN; 5.3.2(4) would leave them out where HEd ≥ 0.15 VEd, which is not used.
//
// AISC 360-22 C2.1 runs α times the loads and divides by α; C2.2b has notional loads of
// 0.002 of the gravity loads, and 0.001 more stand for τb (C2.3(c)); C2.3(a) takes 0.8 of
// every stiffness, here of feet and joints too. Loads over 0.8 on the whole stiffness, with
// forces times 0.8, are the same.
//
// AS 4100 3.2.4 has notional horizontal forces of 0.002 of the design vertical ones, and CSA S16
// 8.4.1 notional lateral loads of 0.005 of the factored gravity loads, both on the whole
// stiffness, here as a slope in every combination.
func outOfTrueBy(basis loads.Basis) outOfTrue {
	of := upright(basis)
	switch basis {
	case loads.BasisEN:
		of.slope, of.words = 1.0/200, "out of true by 1/200"
		return of
	case loads.BasisAS:
		of.slope, of.words = 0.002, "out of true by 0.002"
		return of
	case loads.BasisCSA:
		of.slope, of.words = 0.005, "out of true by 0.005"
		return of
	}
	const reduced = 0.8
	of.slope, of.scale, of.words = 0.003, of.scale/reduced, "out of true by 0.003"
	return of
}

// upright is the same of a frame that is true, on its whole stiffness.
func upright(basis loads.Basis) outOfTrue {
	switch basis {
	case loads.BasisLRFD, loads.BasisASD:
		return outOfTrue{scale: safetyOf(basis).alpha}
	}
	return outOfTrue{scale: 1}
}

// scaleAt returns the scale of the loads at a level.
func (o *outOfTrue) scaleAt(l analysis.Level) float64 {
	if l == analysis.Strength {
		return o.scale
	}
	return 1
}

// wordsAt says how a level is run.
func (o *outOfTrue) wordsAt(l analysis.Level) string {
	if o.scaleAt(l) != 1 {
		return "second order on the frame with 0.8 of its stiffness, " + o.words
	}
	return "second order on the frame, " + o.words
}

// adverse runs a placed load upright and out of true in the way that is worst, rails only
// where their compression is more than may be left alone: what each
// imperfection adds at the section that is worst upright is found by itself, their signs and
// the direction of the sway are chosen by the sum, which in a frame under given axial forces
// is exact, and that is run. The worse of the two stands.
func (b *bender) adverse(p *analysis.Placed, look func(*analysis.Bend) (analysis.Placed, analysis.State), j judge) (analysis.Placed, analysis.State, error) {
	a, scale := b.model.analysis, b.scaleAt(p.Combination.Level)
	upright, err := a.Bend(p, scale, analysis.Lean{})
	if err != nil {
		return *p, analysis.State{}, err
	}
	at, worst := look(upright)
	if b.slope == 0 {
		return at, worst, nil
	}
	base := upright.State(&at)
	leans := []analysis.Lean{{Along: b.slope}, {Across: b.slope}, {Skew: b.slope}, {Bent: b.slope}, {Arched: b.slope}}
	if _, rail := b.ofCritical(p); amplificationAt(rail*scale) <= amplifyFrom {
		leans = leans[:2]
	}
	var add [5]analysis.State
	for k, lean := range leans {
		bend, err := a.Bend(p, scale, lean)
		if err != nil {
			return *p, analysis.State{}, err
		}
		s := bend.State(&at)
		add[k] = s.Plus(-1, &base)
	}
	lean := b.worstLean(&worst, add[:len(leans)], j)
	bend, err := a.Bend(p, scale, lean)
	if err != nil {
		return *p, analysis.State{}, err
	}
	if other, s := look(bend); analysis.Beats(other.Value, at.Value) {
		at, worst = other, s
	}
	return at, worst, nil
}

// worstLean chooses the direction of sway, from the best of eight, and where rails are askew their signs.
func (b *bender) worstLean(upright *analysis.State, add []analysis.State, j judge) analysis.Lean {
	const ring = 8
	rails := len(add) - 2
	under := func(angle float64, signs int) (part [5]float64, u float64) {
		part[1], part[0] = math.Sincos(angle)
		s := *upright
		for k := range add {
			if k >= 2 {
				part[k] = 1 - 2*float64(signs>>(k-2)&1)
			}
			s = s.Plus(part[k], &add[k])
		}
		return part, j(&s, nil)
	}
	angle, signs, most := 0.0, 0, math.Inf(-1)
	for way := range ring {
		at := 2 * math.Pi * float64(way) / ring
		for of := range 1 << rails {
			if _, u := under(at, of); analysis.Beats(u, most) {
				angle, signs, most = at, of, u
			}
		}
	}
	const beside = 2 * math.Pi / ring
	if at, u := analysis.Maximum(func(at float64) float64 { _, u := under(at, signs); return u }, angle-beside, angle, angle+beside); analysis.Beats(u, most) {
		angle = at
	}
	part, _ := under(angle, signs)
	return analysis.Lean{Along: part[0] * b.slope, Across: part[1] * b.slope, Skew: part[2] * b.slope, Bent: part[3] * b.slope, Arched: part[4] * b.slope}
}
