package quantity

// Dimension is the kind of a quantity. It fixes the SI unit of its value and
// the units in which it may be written.
type Dimension int

// The dimensions, each with the unit of its value inside the program.
const (
	Length              Dimension = iota // m
	Force                                // N
	LineLoad                             // N/m, force per length of rail
	Pressure                             // Pa, pressure and stress
	Moment                               // N·m
	RotationalStiffness                  // N·m/rad
	Angle                                // rad
	Density                              // kg/m³
	Mass                                 // kg
	AreaMass                             // kg/m², mass per area of a panel
	Velocity                             // m/s
	Warmth                               // K, a difference of temperatures
	Duration                             // years
	AreaLoad                             // Pa, a load or a pressure of wind on an area: read in any unit of a pressure
	PressurePerDepth                     // Pa/m, what the ground bears sideways per metre of depth
	Rate                                 // m per year, loss of coating or metal
	CoatingMass                          // kg/m², mass per area of a coating
)

// wanted is what a text is read as, and for whom messages are written.
type wanted struct {
	Dimension
	system System
}

// dimensionWords is what messages call a dimension.
type dimensionWords struct {
	name     string    // "line load"
	singular string    // "a line load"
	examples [2]string // likely spellings, metric and US
}

// words returns what messages call the dimension.
func (d Dimension) words() dimensionWords {
	switch d {
	case Length:
		return dimensionWords{"length", "a length", [2]string{"1100 mm", "42 in"}}
	case Force:
		return dimensionWords{"force", "a force", [2]string{"0.45 kN", "200 lbf"}}
	case LineLoad:
		return dimensionWords{"line load", "a line load", [2]string{"0.74 kN/m", "50 lbf/ft"}}
	case Pressure:
		return dimensionWords{"pressure or stress", "a pressure or stress", [2]string{"235 MPa", "35 ksi"}}
	case Moment:
		return dimensionWords{"moment", "a moment", [2]string{"1.2 kNm", "885 lbf-ft"}}
	case RotationalStiffness:
		return dimensionWords{"rotational stiffness", "a rotational stiffness", [2]string{"150 kNm/rad", "110 kip-ft/rad"}}
	case Angle:
		return dimensionWords{"angle", "an angle", [2]string{"32 deg", "0.56 rad"}}
	case Density:
		return dimensionWords{"density", "a density", [2]string{"7850 kg/m3", "490 lb/ft3"}}
	case Mass:
		return dimensionWords{"mass", "a mass", [2]string{"2 kg", "4.4 lb"}}
	case AreaMass:
		return dimensionWords{"mass per area", "a mass per area", [2]string{"4.5 kg/m2", "1 lb/ft2"}}
	case Velocity:
		return dimensionWords{"velocity", "a velocity", [2]string{"26 m/s", "115 mph"}}
	case Warmth:
		return dimensionWords{"difference of temperatures", "a difference of temperatures", [2]string{"35 K", "60 degF"}}
	case Duration:
		return dimensionWords{"duration", "a duration", [2]string{"25 years", "1 year"}}
	case AreaLoad:
		return dimensionWords{"pressure on an area", "a pressure on an area", [2]string{"1 kN/m2", "25 psf"}}
	case PressurePerDepth:
		return dimensionWords{"pressure per depth", "a pressure per depth", [2]string{"31.4 kPa/m", "200 psf/ft"}}
	case Rate:
		return dimensionWords{"rate per year", "a rate per year", [2]string{"1.4 um/year", "0.1 mm/year"}}
	case CoatingMass:
		return dimensionWords{"mass per area of a coating", "a mass per area of a coating", [2]string{"500 g/m2", "1.8 oz/ft2"}}
	}
	panic("quantity: unknown dimension")
}

// String returns the dimension in words: "length", "line load".
func (d Dimension) String() string { return d.words().name }

// measured returns the dimension of the units in which the dimension is read.
func (d Dimension) measured() Dimension {
	if d == AreaLoad {
		return Pressure
	}
	return d
}

// Units returns the units in which the dimension may be written, one spelling
// each, the likeliest first: for US readers that is one of their own. Of an area load
// they are those in which it is told; the others of a pressure are read as well.
func (d Dimension) Units(s System) []string {
	switch {
	case d == AreaLoad && s == US:
		return []string{"psf", "kN/m2", "N/m2", "kPa"}
	case d == AreaLoad:
		return []string{"kN/m2", "N/m2", "kPa", "psf"}
	}
	var first, then []string
	for _, u := range table().units {
		switch {
		case u.dimension != d:
		case s == US && u.system == US:
			first = append(first, u.name())
		default:
			then = append(then, u.name())
		}
	}
	return append(first, then...)
}

// units returns the units of what is wanted.
func (d wanted) units() []string { return d.Units(d.system) }

// examples returns two likely spellings, that of the system first.
func (d wanted) examples() [2]string {
	e := d.words().examples
	if d.system == US && shown(d.Dimension, US).unit != shown(d.Dimension, Metric).unit {
		e[0], e[1] = e[1], e[0]
	}
	return e
}
