package loads

// Row is a schedule as one row of a list. A value that the schedule does not have is nil.
type Row struct {
	Name      string `json:"name"`
	Standard  string `json:"standard"`
	Edition   string `json:"edition"`
	Clause    string `json:"clause"`
	Occupancy string `json:"occupancy"`
	Use       string `json:"use"`
	Family    string `json:"family"`

	Line              *float64 `json:"line_N_per_m"`         // across; where none is, in the one direction that the schedule has
	Point             *float64 `json:"point_N"`              // on the top rail; where none is, on any part or on an intermediate rail
	PointTarget       *string  `json:"point_target"`         // where Point stands: "top", "any-part" or "intermediate"
	IntermediatePoint *float64 `json:"intermediate_point_N"` // on an intermediate rail
	ToeBoardPoint     *float64 `json:"toe_board_point_N"`
	PointPerSpacing   *float64 `json:"point_N_per_m_of_spacing"`
	Area              *float64 `json:"area_N_per_m2"`
	InwardLine        *float64 `json:"inward_line_N_per_m"`   // where it is not that of Line
	VerticalLine      *float64 `json:"vertical_line_N_per_m"` // straight down on the top rail, apart from Line
	VerticalPoint     *float64 `json:"vertical_point_N"`      // straight down on the top rail, apart from Point
	VerticalWithLine  bool     `json:"vertical_with_line"`    // the vertical loads act with Line too
	InfillPoint       *float64 `json:"infill_point_N"`        // on the infill; on an open barrier it goes to the intermediate rails
	AlongPoint        *float64 `json:"along_point_N"`
	Wind              *float64 `json:"wind_N_per_m2"`       // velocity pressure with the other loads
	WindAlone         *float64 `json:"wind_alone_N_per_m2"` // velocity pressure without them
	AccidentalPoint   *float64 `json:"accidental_point_N"`
	HeightRule        string   `json:"height_rule"` // of the load on the top rail: "axis", "barrier-top" or "fixed"
	Height            *float64 `json:"height_m"`    // of the load on the top rail, at most; nil: on the rail's axis, or at the top of the barrier without a cap
	DeflectionMM      *float64 `json:"deflection_mm"`
	DeflectionRule    *string  `json:"deflection_rule"` // in its place, such as "h/60 + L/240"
	DeflectionOnly    *string  `json:"deflection_only"` // the one action that the limit binds
	GammaM            *float64 `json:"gamma_M"`         // the standard's own partial factor on resistance
	LoadedHeight      *float64 `json:"loaded_height_m"` // the least height of the top rail under the load that presses it down

	StrengthFactor float64 `json:"strength_factor"` // on the load for strength, in StrengthBasis; a plain number
	StrengthBasis  string  `json:"strength_basis"`  // "EN", "AISC-LRFD", "CSA" or "AS"; under AISC-ASD the factor is 1.0
	Direction      string  `json:"direction"`       // of the load on the top rail
	Stage          string  `json:"stage"`
	Source         string  `json:"source"`
	Provenance     string  `json:"provenance"`
	Confidence     string  `json:"confidence"`
}

// Rows returns the schedule as rows of a list: one row.
func (s Schedule) Rows() []Row {
	row := Row{
		Name: s.Name, Standard: s.Standard, Edition: s.Edition, Clause: s.Clause,
		Occupancy: s.Occupancy, Use: s.Use, Family: string(s.Family), Stage: s.Stage,
		Source: s.Source, Provenance: s.Provenance, Confidence: s.Confidence,
	}
	basis, _ := s.Family.home()
	row.StrengthBasis = string(basis)
	for _, a := range s.Actions {
		row.add(a)
	}
	for _, l := range s.Limits {
		row.addLimit(l)
	}
	if s.LoadedHeight != nil {
		height := s.LoadedHeight.Height
		row.LoadedHeight = &height
	}
	if s.GammaM != nil {
		factor := s.GammaM.Value
		row.GammaM = &factor
	}
	return []Row{row}
}

// addLimit enters a limit on the total movement across.
func (r *Row) addLimit(l Limit) {
	if l.Of != LimitTotal {
		return
	}
	if l.Rule != "" {
		r.DeflectionRule = &l.Rule
	} else {
		mm := l.Deflection * 1000
		r.DeflectionMM = &mm
	}
	if l.Only != "" {
		r.DeflectionOnly = &l.Only
	}
}

// add enters the value of an action in its column, and what else the list says of it.
func (r *Row) add(a Action) {
	value := a.Value
	switch a.Kind {
	case Line:
		r.addLine(a)
	case Point:
		r.addPoint(a)
	case PointPerSpacing:
		r.PointPerSpacing = &value
	case Area:
		r.Area = &value
	case WindPressure:
		r.addWind(a)
	}
	r.addDirection(a)
}

// addDirection enters direction, factor and height of the load that the barrier is for: the
// first that is neither accidental nor wind, and not a second one at the top.
func (r *Row) addDirection(a Action) {
	if r.Direction != "" || a.Accidental || a.Kind == WindPressure {
		return
	}
	r.Direction, r.StrengthFactor = a.Direction, a.Strength.Value
	if a.Target != Top {
		return
	}
	r.HeightRule = string(a.Height.Kind)
	switch height := a.Height; {
	case height.Kind == AtBarrierTop && height.AtMost != 0:
		r.Height = &height.AtMost
	case height.Kind == AtFixed:
		r.Height = &height.Value
	}
}

// addLine enters a line load, N/m.
func (r *Row) addLine(a Action) {
	switch a.Direction {
	case Inward:
		r.InwardLine = &a.Value
	case Down:
		r.VerticalLine = &a.Value
		r.VerticalWithLine = len(a.With) > 0
	default:
		r.Line = &a.Value
	}
}

// addWind enters a velocity pressure, N/m².
func (r *Row) addWind(a Action) {
	if a.Alone {
		r.WindAlone = &a.Value
		return
	}
	r.Wind = &a.Value
}

// addPoint enters a point load, N, in the columns of its target.
func (r *Row) addPoint(a Action) {
	value := a.Value
	switch {
	case a.Accidental:
		r.AccidentalPoint = &value
		return
	case a.Direction == Along:
		r.AlongPoint = &value
		return
	case a.Target == Top && a.Direction == Down:
		r.VerticalPoint = &value
		return
	case a.Target == ToeBoard:
		r.ToeBoardPoint = &value
		return
	case a.Target == Intermediate:
		r.IntermediatePoint, r.InfillPoint = &value, &value
		if r.Point != nil {
			return
		}
	}
	word := string(a.Target)
	r.Point, r.PointTarget = &value, &word
}
