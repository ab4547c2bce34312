package barrier

import (
	"slices"
	"strconv"
	"sync"

	"example.com/stanchion/internal/quantity"
)

// Screw is the set screw of a fitting and the torque to which it is tightened. Nothing is
// checked by it: what a fitting holds is tested.
type Screw struct {
	Size       string  // "M10"
	Diameter   float64 // m
	Proof      float64 // N·m, the proof torque of its hexagon socket; 0: not known here
	Torque     float64 // N·m
	Source     string
	Provenance string
}

// screws are the sizes in the order of their table, read once.
var screws = sync.OnceValue(func() []Screw {
	var out []Screw
	for _, row := range tableRows("set_screws.csv") {
		d, err := strconv.ParseFloat(row["diameter_mm"], 64)
		if err != nil {
			panic("barrier: set_screws.csv: " + err.Error())
		}
		s := Screw{Size: row["size"], Diameter: d * 1e-3, Source: row["source"], Provenance: row["provenance"]}
		if proof := row["proof_Nm"]; proof != "" {
			if s.Proof, err = strconv.ParseFloat(proof, 64); err != nil {
				panic("barrier: set_screws.csv: " + err.Error())
			}
		}
		out = append(out, s)
	}
	return out
})

// Force returns the force, N, with which a screw presses when it is tightened to the torque
// with a torque coefficient k, a plain number: F = T/(k d). Source: fastening handbook, public page.
func (s *Screw) Force(k float64) float64 { return s.Torque / (k * s.Diameter) }

// readScrew reads { size, torque }; nil for none.
func (t table) readScrew() *Screw {
	given, ok := t.child("screw", screwTable)
	if !ok {
		return nil
	}
	var sizes []string
	for _, s := range screws() {
		sizes = append(sizes, s.Size)
	}
	hasSize, hasTorque := given.require("size", `"M10"`), given.require("torque", `"39 Nm"`)
	if !hasSize || !hasTorque {
		return nil
	}
	size, sizeOK := given.label("size", "size of screw", sizes, "write "+oneOf(sizes))
	torque, torqueOK := given.positive("torque", quantity.Moment)
	if !sizeOK || !torqueOK {
		return nil
	}
	s := screws()[slices.IndexFunc(screws(), func(s Screw) bool { return s.Size == size })]
	s.Torque = torque
	if s.Proof > 0 && torque > s.Proof {
		t.caution("The torque of the set screws is above the proof torque of %s in hardness class 45H (ISO 898-5, from memory): see that it is meant.", s.Size)
	}
	return &s
}
