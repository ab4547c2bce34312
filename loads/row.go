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

	Line            *float64 `json:"line_N_per_m"`
	Point           *float64 `json:"point_N"`
	PointTarget     *string  `json:"point_target"` // where the point load stands: "top" or "intermediate"
	PointPerSpacing *float64 `json:"point_N_per_m_of_spacing"`
	Area            *float64 `json:"area_N_per_m2"`
	Height          *float64 `json:"height_m"` // of the load on the top rail, at most; nil: on the rail's axis
	DeflectionMM    *float64 `json:"deflection_mm"`

	StrengthFactor float64 `json:"strength_factor"` // on the load at ULS
	Direction      string  `json:"direction"`
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
	for _, a := range s.Actions {
		row.add(a)
	}
	if s.Limit != nil {
		mm := s.Limit.Deflection * 1000
		row.DeflectionMM = &mm
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
		target := string(a.Target)
		r.Point, r.PointTarget = &value, &target
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
	switch height := a.Height; height.Kind {
	case AtBarrierTop:
		r.Height = &height.AtMost
	case AtFixed:
		r.Height = &height.Value
	}
}
