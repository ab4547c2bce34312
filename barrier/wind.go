package barrier

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// What a wind may be told of. The bounds are far beyond those within which the standards hold.
const (
	mostVelocity   = 120  // m/s
	leastVelocity  = 15   // m/s, below which the unit is asked for: common practice
	mostGround     = 200  // m above the ground: EN 1991-1-4 1.1(2) ends there (from memory)
	leastAir       = 0.8  // kg/m³, at some 4000 m
	mostAir        = 1.6  // kg/m³, at some -50 degC
	mostTopography = 3    // co and Kzt of the steepest crest are less
	leastReturn    = 2    // years
	mostReturn     = 1000 // years
)

// siteKeys returns the keys by which the velocity pressure of a wind is found, in place of
// pressure.
func siteKeys() []string {
	return []string{"standard", "velocity", "terrain", "exposure", "ground", "air_density", "return_period", "topography"}
}

// readWind reads the wind at a site: by a standard, or as a velocity pressure.
func (t table) readWind() *loads.Wind {
	w := &loads.Wind{Shielded: t.share("shielding")}
	if w.Shielded > 0 && w.Shielded < 1 {
		t.caution("Something shields the barrier from a wind of the user's own: shielding = %v is as stated, and holds while that stands.", w.Shielded)
	}
	if t.has("pressure") {
		t.readWindPressure(w)
		return w
	}
	if t.absent("standard") {
		if t.misspelt("pressure") {
			return w
		}
		t.lacks("nothing says by what the pressure of the wind is found", t.windExample())
		return w
	}
	if t.isUncarriedWind() {
		return w
	}
	route, ok := t.word("standard", []string{string(loads.WindEN), string(loads.WindASCE)}, []string{"ASCE 7-10", "ASCE 7-22", "NBC", "AS/NZS 1170.2"})
	if !ok {
		return w
	}
	w.Route = loads.WindRoute(route)
	if t.def.Basis != "" && w.Route != t.windRoute() && !t.mixWind(w.Route) {
		return w
	}
	t.readSite(w)
	return w
}

// windRoute returns the route of the standard that goes with the basis: empty where that one is
// not carried.
func (r *reader) windRoute() loads.WindRoute {
	switch r.def.Basis {
	case loads.BasisLRFD, loads.BasisASD:
		return loads.WindASCE
	case loads.BasisAS, loads.BasisCSA:
		return ""
	}
	return loads.WindEN
}

// windExample says what to write for the pressure of a wind.
func (t table) windExample() string {
	pressure := t.like(`pressure = "0.45 kN/m2"`)
	if t.windRoute() == "" {
		return fmt.Sprintf("add %s, the velocity pressure by %s, or standard = %q or %q with mix = true", pressure, t.windStandard(), loads.WindEN, loads.WindASCE)
	}
	return fmt.Sprintf("add standard = %q with velocity, %s and ground, or %s", t.windRoute(), siteWord(t.windRoute()), pressure)
}

// windStandard names the standard of wind that goes with a basis where no route of it is carried,
// and the level on which the factors of the basis on a pressure of the user's own come.
func (r *reader) windStandard() string {
	if r.def.Basis == loads.BasisAS {
		return "AS/NZS 1170.2 for about 50 years"
	}
	return "NBC 4.1.7 for about 50 years"
}

// isUncarriedWind faults the standard of wind that goes with the basis where it is not carried.
func (t table) isUncarriedWind() bool {
	named, _ := t.values["standard"].(string)
	if t.windRoute() != "" || named == "" || named != "NBC" && named != "AS/NZS 1170.2" {
		return false
	}
	t.fault(t.at("standard"), quote(named)+" is not supported yet", fmt.Sprintf("leave it out and add %s, the velocity pressure by %s", t.like(`pressure = "0.45 kN/m2"`), t.windStandard()))
	return true
}

// siteWord returns the key by which a route tells what stands round the site.
func siteWord(route loads.WindRoute) string {
	if route == loads.WindASCE {
		return "exposure"
	}
	return "terrain"
}

// isForeignWind says whether a load of the user's own is wind by a standard that does not go
// with the basis.
func (t table) isForeignWind(own *OwnLoad) bool {
	route, _ := t.values["standard"].(string)
	return own.Kind == OwnWind && route != "" && loads.WindRoute(route) != t.windRoute()
}

// mixWind judges a wind by a standard that does not go with the basis: it stands only where
// the user mixes it in.
func (t table) mixWind(route loads.WindRoute) bool {
	own := t.def.Basis.Families()[0]
	family, level := loads.EN, "a wind of service level, of about 50 years"
	if route == loads.WindASCE {
		family, level = loads.ASCE, "a wind of strength level, on which the factor of the basis comes again"
		if t.def.Basis == loads.BasisAS {
			level = "a wind of strength level, as Wu of AS/NZS 1170.0 is"
		}
	}
	if t.values["mix"] != true {
		instead := fmt.Sprintf("write standard = %q with its velocity", t.windRoute())
		if t.windRoute() == "" {
			instead = fmt.Sprintf("write %s, the velocity pressure by %s, in its place", t.like(`pressure = "0.45 kN/m2"`), t.windStandard())
		}
		t.fault(t.at("standard"), fmt.Sprintf("%s is of the family %s, the basis %s combines winds of the family %s", route, family, t.def.Basis, own),
			instead+", or add mix = true to take it as "+level)
		return false
	}
	t.caution("The wind of %s is of the family %s and is taken under %s as %s%s: mix = true.", string(route), string(family), string(t.def.Basis), level, t.windFactorWords(route))
	return true
}

// windFactorWords says which factor for strength the basis has on a wind of a route that is not
// its own; empty where it has its usual one.
func (r *reader) windFactorWords(route loads.WindRoute) string {
	if r.def.Basis == "" {
		return ""
	}
	own := loads.CombinationsOf(r.def.Basis).WindFactor(route)
	if own == nil {
		return ""
	}
	return fmt.Sprintf(", and for strength it takes %.2f W where it leads, not the factor on a wind of strength level", own.Value)
}

// readWindPressure reads a velocity pressure of the user's own.
func (t table) readWindPressure(w *loads.Wind) {
	w.Route = loads.WindPressureGiven
	if also := slices.DeleteFunc(siteKeys(), func(key string) bool { return !t.has(key) }); len(also) > 0 {
		t.faultOfKey(t.at("pressure"), "pressure excludes "+strings.Join(also, ", "), "leave pressure out, or keep it alone: it stands for all of these")
	}
	v, ok := t.positive("pressure", quantity.AreaLoad)
	if ok && v > mostPressure {
		t.fault(t.at("pressure"), "no wind has a velocity pressure of "+t.pressureText(v), t.like(`write such as pressure = "0.45 kN/m2"`))
		return
	}
	w.Pressure = v
	like := ", as that of EN 1991-1-4 is"
	if t.windRoute() == "" {
		like = ", with all gusts in it" // the standard of the basis is not carried
	}
	t.assumeOnce("A velocity pressure of the user's own is a peak one of service level, exceeded once in about 50 years%s%s.", like, t.windFactorWords(w.Route))
}

// readSite reads what a route needs to know of the site.
func (t table) readSite(w *loads.Wind) {
	example := `"26 m/s"`
	if w.Route == loads.WindASCE {
		example = `"115 mph"`
	}
	if t.require("velocity", example) {
		w.Velocity = t.readVelocity()
	}
	if t.require("ground", `"8 m"`) {
		w.Ground = t.readGround()
	}
	if w.Route == loads.WindASCE {
		w.Exposure = t.surroundings("exposure", loads.Exposures(), `"B" in towns, suburbs and woods, "C" in open country, "D" by flat open water, as ASCE 7-16 26.7 has them`)
		t.refuseOfRoute(w.Route, "terrain", "air_density", "return_period")
	} else {
		w.Terrain = t.surroundings("terrain", loads.Terrains(), `"0" by the open sea, "I" by lakes and on flat bare land, "II" in open country, "III" in suburbs, villages and woods, "IV" in towns, as EN 1991-1-4 Table 4.1 has them`)
		w.Density = t.readAir()
		w.Return = t.readReturn()
		t.refuseOfRoute(w.Route, "exposure")
	}
	w.Topography = t.readTopography()
}

// surroundings reads the label for what stands round the site. Meanings says what each is.
func (t table) surroundings(key string, labels []string, meanings string) string {
	if t.absent(key) {
		t.lacks(key+" is missing", "add "+key+" = "+meanings)
	}
	label, _ := t.label(key, key, labels, "write "+meanings)
	return label
}

// readVelocity reads the basic velocity, m/s.
func (t table) readVelocity() float64 {
	v, ok := t.positive("velocity", quantity.Velocity)
	if ok && v > mostVelocity {
		t.fault(t.at("velocity"), "no wind blows at "+quantity.Format(v, quantity.Velocity, t.def.Units), "write the basic velocity of the map of the standard, in m/s, km/h or mph")
		return 0
	}
	if ok && v < leastVelocity {
		t.caution("A basic velocity of the wind of %s is less than maps have: look at its unit (common practice: some 20 m/s and more).", quantity.Of(v, quantity.Velocity))
	}
	return v
}

// refuseOfRoute reports keys that a route does not use.
func (t table) refuseOfRoute(route loads.WindRoute, keys ...string) {
	for _, key := range keys {
		if t.has(key) {
			t.faultOfKey(t.at(key), fmt.Sprintf("%s has no %s", route, key), "leave it out")
		}
	}
}

// readGround reads the height of the walking surface above the ground, m.
func (t table) readGround() float64 {
	v, ok := t.quantity("ground", quantity.Length)
	switch {
	case !ok:
	case v < 0:
		t.fault(t.at("ground"), "the walking surface lies below the ground", t.like(`write its height above the ground, "0 m" where it lies on it`))
	case v > mostGround:
		t.fault(t.at("ground"), "the walking surface lies "+t.placeText(v)+" above the ground, and the standards for wind end at "+t.placeText(mostGround), "write its height above the ground; have a higher site looked at by a specialist")
	default:
		return v
	}
	return 0
}

// readAir reads the density of air, kg/m³; 0 where it is not given.
func (t table) readAir() float64 {
	v, ok := t.quantity("air_density", quantity.Density)
	switch {
	case !t.has("air_density"):
		t.assumeOnce("Air has the density that EN 1991-1-4 recommends: air_density is not given.")
	case ok && !(v >= leastAir && v <= mostAir):
		t.fault(t.at("air_density"), "no air is of this density", t.like(`write a density such as "1.25 kg/m3", or leave it out`))
	case ok:
		return v
	}
	return 0
}

// readReturn reads the return period of the wind, years: a plain number or a duration; 0
// where it is not given.
func (t table) readReturn() float64 {
	const fix = `write a number of years such as return_period = 50, or leave it out for the 50 of the basic velocity`
	value, given := t.values["return_period"]
	if !given {
		return 0
	}
	years, ok := 0.0, false
	if _, isText := value.(string); isText {
		years, ok = t.quantity("return_period", quantity.Duration)
	} else {
		years, ok = t.numberAt(t.at("return_period"), value, fix)
	}
	if ok && !(years >= leastReturn && years <= mostReturn) {
		t.fault(t.at("return_period"), fmt.Sprintf("a return period lies between %v and %v years", leastReturn, mostReturn), fix)
		return 0
	}
	return years
}

// readTopography reads the factor of hills and cliffs; 0 where it is not given.
func (t table) readTopography() float64 {
	v, ok := t.number("topography", "1.0")
	switch {
	case !t.has("topography"):
		t.assumeOnce("The ground is level round the site: topography is not given and taken as 1.")
	case ok && !(v >= 1 && v <= mostTopography):
		t.fault(t.at("topography"), fmt.Sprintf("a topography factor lies between 1 and %v", mostTopography), "write that of the standard, 1.0 on level ground")
	case ok:
		return v
	}
	return 0
}

// share reads a factor of more than 0 and at most 1; 0 where it is not given.
func (t table) share(key string) float64 {
	v, ok := t.number(key, "1.0")
	if ok && !(v > 0 && v <= 1) {
		t.fault(t.at(key), "a factor of more than 0 and at most 1 is wanted", "write the factor on what stands in the lee, or leave it out: then nothing shields")
		return 0
	}
	return v
}

// readWindDirection reads from where the wind may blow, by default across the run and along it.
func (t table) readWindDirection() Direction {
	words := []string{loads.Across, loads.Outward, loads.Inward, loads.Along, loads.Horizontal}
	if !t.has("direction") {
		if !t.misspelt("direction") {
			t.assumeOnce(`Wind blows across the run either way, and along it either way, one at a time: the direction of a wind is not given and taken as "horizontal".`)
		}
		return Direction{Word: loads.Horizontal}
	}
	word, _ := t.word("direction", words, nil)
	return Direction{Word: word}
}
