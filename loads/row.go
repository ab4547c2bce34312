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

	Line              *float64 `json:"line_N_per_m"`
	Point             *float64 `json:"point_N"`              // on the top rail; where none is, on an intermediate one
	PointTarget       *string  `json:"point_target"`         // where Point stands: "top" or "intermediate"
	IntermediatePoint *float64 `json:"intermediate_point_N"` // on an intermediate rail
	ToeBoardPoint     *float64 `json:"toe_board_point_N"`
	PointPerSpacing   *float64 `json:"point_N_per_m_of_spacing"`
	Area              *float64 `json:"area_N_per_m2"`
	HeightRule        string   `json:"height_rule"` // of the load on the top rail: "axis", "barrier-top" or "fixed"
	Height            *float64 `json:"height_m"`    // of the load on the top rail, at most; nil: on the rail's axis, or at the top of the barrier without a cap
	DeflectionMM      *float64 `json:"deflection_mm"`
	LoadedHeight      *float64 `json:"loaded_height_m"` // the least height of the top rail under the load that presses it down

	StrengthFactor float64 `json:"strength_factor"` // on the load for strength, in StrengthBasis
	StrengthBasis  string  `json:"strength_basis"`  // "EN" or "AISC-LRFD"; under AISC-ASD the factor is 1.0
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
	if s.Limit != nil {
		mm := s.Limit.Deflection * 1000
		row.DeflectionMM = &mm
	}
	if s.LoadedHeight != nil {
		height := s.LoadedHeight.Height
		row.LoadedHeight = &height
	}
	return []Row{row}
}

// add enters the value of an action in its column.
func (r *Row) add(a Action) {
	value := a.Value
	switch a.Kind {
	case Line:
		r.Line = &value
	case Point:
		r.addPoint(a.Target, value)
	case PointPerSpacing:
		r.PointPerSpacing = &value
	case Area:
		r.Area = &value
	}
	if a.Target != Top {
		return
	}
	r.Direction = a.Direction
	r.StrengthFactor = a.Strength.Value
	r.HeightRule = string(a.Height.Kind)
	switch height := a.Height; {
	case height.Kind == AtBarrierTop && height.AtMost != 0:
		r.Height = &height.AtMost
	case height.Kind == AtFixed:
		r.Height = &height.Value
	}
}

// addPoint enters a point load, N, in the columns of its target.
func (r *Row) addPoint(target Target, value float64) {
	switch target {
	case ToeBoard:
		r.ToeBoardPoint = &value
		return
	case Intermediate:
		r.IntermediatePoint = &value
		if r.Point != nil {
			return
		}
	}
	word := string(target)
	r.Point, r.PointTarget = &value, &word
}
