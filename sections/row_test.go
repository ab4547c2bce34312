package sections

import (
	"encoding/json"
	"math"
	"slices"
	"testing"
)

// A tube row has the keys that outside scripts rely on, and the values that
// EN 10210-2 prints.
func TestTubeRow(t *testing.T) {
	const source = "EN 10210-2, two public section lists: 48.3x3.2 has 3.56 kg/m, 4.53 cm², 11.6 cm⁴, 4.80 cm³, 6.52 cm³"
	data, err := json.Marshal(mustTube(t, "EN 10210 48.3x3.2").Row())
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"name", "standard", "source", "provenance"} {
		if text, ok := got[key].(string); !ok || text == "" {
			t.Errorf("%s = %v", key, got[key])
		}
	}
	for _, c := range []struct {
		key       string
		want, tol float64
	}{
		{"od_mm", 48.3, 0}, {"wall_mm", 3.2, 0}, {"mass_kg_per_m", 3.56, 0.005}, {"area_mm2", 453, 0.5},
		{"I_mm4", 116e3, 500}, {"Wel_mm3", 4800, 5}, {"Wpl_mm3", 6520, 5},
	} {
		v, ok := got[c.key].(float64)
		if !ok || math.Abs(v-c.want) > c.tol {
			t.Errorf("%s = %v, want %g within %g (source: %s)", c.key, got[c.key], c.want, c.tol, source)
		}
	}
	if v, ok := got["design_wall_mm"]; !ok || v != nil {
		t.Errorf("design_wall_mm = %v, want null: EN 10210-2 prints none", v)
	}
	pipe := mustTube(t, "ASTM A53 NPS 1-1/2 STD").Row()
	if pipe.ODMM != 48.26 || pipe.WallMM != 3.683 || pipe.DesignWallMM == nil || *pipe.DesignWallMM != 3.429 {
		t.Errorf("%+v: want 1.900 x 0.145 in, design wall 0.135 in (source: AISC Shapes Database v15.0)", pipe)
	}
}

// Every row of the lists can be written as JSON: no infinite band gets through.
func TestRowsAreJSON(t *testing.T) {
	for _, tube := range Tubes() {
		if _, err := json.Marshal(tube.Row()); err != nil {
			t.Errorf("%s: %v", tube.Name, err)
		}
	}
	for _, g := range Grades() {
		if _, err := json.Marshal(g.Row()); err != nil {
			t.Errorf("%s: %v", g.label(), err)
		}
	}
	for _, c := range Coatings() {
		if _, err := json.Marshal(c.Row()); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
	}
	for _, c := range Corrosivities() {
		if _, err := json.Marshal(c.Row()); err != nil || (c.Row().AluminiumTo == nil) != (c.Category == "CX") {
			t.Errorf("%s: %v, aluminium to %v", c.Category, err, c.Row().AluminiumTo)
		}
	}
	i := slices.IndexFunc(Grades(), func(g Grade) bool { return g.Name == "S195T" })
	r := Grades()[i].Row()
	if r.WallToMM != nil || r.FyMPa == nil || *r.FyMPa != 195 || r.Use != UseTube {
		t.Errorf("%+v: want an open band and 195 MPa (source: EN 10255)", r)
	}
	if r.FyKsi != nil || r.FuKsi != nil {
		t.Errorf("%+v: EN 10255 prints no ksi", r)
	}
}
