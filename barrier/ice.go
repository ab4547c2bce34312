package barrier

import (
	"slices"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// What ice and temperature may be told of.
const (
	mostIce       = 0.2 // m: beyond, the coats of the rails meet
	leastIceSolid = 200 // kg/m³: soft rime
	mostIceSolid  = 920 // kg/m³: ice without air
	mostWarmth    = 200 // K: weather changes steel by less than half of it, and beyond it loses stiffness
)

// readIce reads a coat of ice: a class of glaze of ISO 12494, or a thickness.
func (t table) readIce() *loads.Ice {
	ice := &loads.Ice{}
	switch {
	case t.has("class") && t.has("thickness"):
		t.faultOfKey(t.at("thickness"), "class and thickness exclude each other", "keep one of them")
	case t.has("class"):
		ice.Class = t.readIceClass()
		if t.has("density") {
			t.faultOfKey(t.at("density"), "a class of glaze has a density of its own", "leave it out, or give thickness in place of class")
		}
	case t.has("thickness"):
		ice.Thickness = t.readIceThickness()
		ice.Density = t.readIceDensity()
		if t.isAISC() {
			t.assumeOnce("A thickness of ice of the user's own is one of strength level, of about 500 years, as that of ASCE 7 chapter 10 is.")
		}
	case !t.misspelt("class") && !t.misspelt("thickness"):
		t.lacks("nothing says how thick the ice is", t.like(`add class = "G2", or thickness = "25 mm"`))
	}
	return ice
}

// readIceClass reads a class of glaze.
func (t table) readIceClass() string {
	const fix = `write "G1", "G2", "G3", "G4" or "G5", or thickness in its place`
	if word, isText := t.values["class"].(string); isText && slices.Contains([]string{"R1", "R2", "R3", "R4", "R5", "R6", "R7", "R8", "R9", "R10"}, word) {
		t.fault(t.at("class"), "class "+quote(word)+" is one of rime, which is not supported yet", fix)
		return ""
	}
	class, ok := t.label("class", "class of ice", loads.IceClasses(), fix)
	if own := t.iceFactor(loads.Ice{Class: class}); ok && own != nil {
		t.caution("A class of ISO 12494 is ice of service level, of about 50 years, and for strength it takes %.2f I where it leads under %s, by a rule of this program: ASCE 7 chapter 10 has ice of strength level.", own.Value, string(t.def.Basis))
	}
	return class
}

// iceFactor returns the factor for strength that the basis has on an ice that is not of its own
// level; nil where it has its usual one.
func (r *reader) iceFactor(ice loads.Ice) *loads.Factor {
	if r.def.Basis == "" {
		return nil
	}
	return loads.CombinationsOf(r.def.Basis).IceFactor(ice)
}

// readIceThickness reads the thickness of a coat of ice, m.
func (t table) readIceThickness() float64 {
	v, ok := t.positive("thickness", quantity.Length)
	if ok && v > mostIce {
		t.fault(t.at("thickness"), "a coat of "+t.sizeText(v)+" closes the barrier, and is no longer one", "write at most "+t.sizeText(mostIce))
		return 0
	}
	return v
}

// readIceDensity reads the density of ice, kg/m³; 0 where it is not given.
func (t table) readIceDensity() float64 {
	v, ok := t.quantity("density", quantity.Density)
	switch {
	case !t.has("density"):
		t.assumeOnce("Ice has the density of glaze: the density of an ice load is not given.")
	case ok && !(v >= leastIceSolid && v <= mostIceSolid):
		t.fault(t.at("density"), "no ice is of this density", "write from "+quantity.Format(leastIceSolid, quantity.Density, t.def.Units)+" to "+quantity.Format(mostIceSolid, quantity.Density, t.def.Units)+", or leave it out for glaze")
	case ok:
		return v
	}
	return 0
}

// readWarmth reads by how much the tubes may grow warmer and colder than when the barrier was
// fixed.
func (t table) readWarmth() *Warmth {
	w := &Warmth{}
	if t.absent("rise") && t.absent("fall") {
		t.lacks("nothing says by how much the temperature changes", t.like(`add rise = "35 K" and fall = "45 K"`))
		return w
	}
	var ok [2]bool
	for i, to := range [2]*float64{&w.Rise, &w.Fall} {
		key := [2]string{"rise", "fall"}[i]
		*to, ok[i] = t.quantity(key, quantity.Warmth)
		if ok[i] && *to < 0 {
			t.fault(t.at(key), "the difference is negative", "write how much warmer as rise and how much colder as fall, both of 0 or more")
			*to, ok[i] = 0, false
		}
		if ok[i] && *to > mostWarmth {
			t.fault(t.at(key), "no weather changes the temperature of tubes by "+quantity.Format(*to, quantity.Warmth, t.def.Units), "write a difference, not a temperature, of at most "+quantity.Format(mostWarmth, quantity.Warmth, t.def.Units))
			*to, ok[i] = 0, false
		}
		if !t.has(key) && !t.misspelt(key) {
			t.assumeOnce("The tubes do not grow %s than when the barrier was fixed: the %s of a temperature load is not given.", [2]string{"warmer", "colder"}[i], key)
			ok[i] = true
		}
	}
	if ok[0] && ok[1] && w.Rise == 0 && w.Fall == 0 {
		t.faultOfKey(t.path, "the temperature does not change", t.like(`write a rise or a fall of more than 0, such as rise = "35 K"`))
	}
	return w
}
