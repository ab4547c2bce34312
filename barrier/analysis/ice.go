package analysis

import (
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/solver"
)

// Ice hangs on every tube, all round and all along, and on the infill. That on the infill goes
// where the infill's own weight goes, see [barrier.InfillWeight]. Ice on fittings and on a toe
// plate is not counted.

// iceAction returns the action of an ice of the user's own.
func iceAction(d *barrier.Definition, load int) (*Action, []quantity.Sentence) {
	l := &d.Loads[load]
	a := ofOwn(d, load, "I", loads.IceAction)
	coat := l.Own.Ice.Coat()
	w := &frost{d: d, coat: coat, steps: slices.Clone(coat.Steps)}
	w.weigh()
	a.Steps, a.Provenance = w.steps, provenance(w.steps)
	a.Field.Senses = []Sense{{On: w.on}}
	infill, on := "", " on every tube"
	if d.Infill.Stands() {
		infill, on = ", and on the infill", on+" and on the infill"
	}
	a.Field.Senses[0].Words = func(units quantity.System) string { return "ice of " + quantity.Size(coat.Thickness).In(units) + on }
	notes := []quantity.Sentence{quantity.Say("%s hangs on every tube all round%s; that on fittings and on a toe plate is not counted", l.Name, infill)}
	if d.Infill.Stands() && w.closed {
		notes = append(notes, quantity.Say("%s closes the openings of the infill: their width is not given, or not more than twice the ice", l.Name))
	}
	return a, notes
}

// frost is a coat of ice on a barrier with its weight on each part.
type frost struct {
	d      *barrier.Definition
	coat   loads.Coat
	widths []tubeDrag // N/m on tubes
	infill float64    // kg/m² of gross area
	closed bool       // the openings of the infill
	steps  []loads.Step
}

// weigh finds the weight on each part.
func (w *frost) weigh() {
	g := -gravity[2]
	add := func(part string, od float64) {
		if w.weightOn(od) > 0 {
			return
		}
		mass, step := w.coat.Mass(od)
		w.widths = append(w.widths, tubeDrag{od, mass * g})
		w.steps = append(w.steps, titled(part, []loads.Step{step})...)
	}
	add("posts", w.d.Post.BuiltOD())
	for i := range w.d.Rails {
		add("rail "+w.d.Rails[i].Name, w.d.Rails[i].BuiltOD())
	}
	for i := range w.d.Braces {
		add("braces", w.d.Braces[i].BuiltOD())
	}
	if w.d.Infill.Stands() {
		ice := w.d.IcedInfill(&w.coat)
		w.infill, w.closed = ice.Mass, ice.Solidity >= 1 && w.d.Infill.Solidity < 1
		w.steps = append(w.steps, titled("infill", ice.Steps)...)
	}
}

// weightOn returns the weight of ice on a metre of a tube, N/m; 0 for one not found yet.
func (w *frost) weightOn(od float64) float64 {
	for _, t := range w.widths {
		if t.od == od {
			return t.force
		}
	}
	return 0
}

// on returns the load case of the ice on a frame.
func (w *frost) on(r *Replayer) solver.Case {
	var c solver.Case
	for _, t := range r.tubes(w.d) {
		c.Lines = append(c.Lines, t.all(solver.Vec{0, 0, -w.weightOn(t.of.BuiltOD())}))
	}
	w.onRails(r, &c)
	weights := r.Frame.InfillWeights(w.d, w.infill)
	for i := range weights {
		c.Nodes = append(c.Nodes, weights[i].Load(gravity))
	}
	return c
}

// onRails puts the ice on the infill on the rails that carry it, in every bay.
func (w *frost) onRails(r *Replayer, c *solver.Case) {
	bays := len(w.d.Supports()) - 1
	for rail := range r.Frame.Rails {
		for _, m := range r.Frame.Rails[rail].Members {
			mass := w.d.InfillMass(w.infill, rail, m.Leg)
			if m.Bay < 0 || m.Bay >= bays || mass == 0 {
				continue
			}
			q := times(mass, gravity)
			c.Lines = append(c.Lines, solver.LineLoad{Member: m.ID, To: r.Frame.Length(m.ID), Start: q, End: q})
		}
	}
}
