package loads

import "errors"

// SiteTest is how a standard that proves a barrier by test puts its service load on. What was not
// read of it is nil.
type SiteTest struct {
	Preload *Factor // share of the service load that is put on first and taken off again
	Set     *Set    // what may stay when the service load is taken off
}

// Set is what a standard lets stay of a movement when the load is taken off, in its words.
type Set struct {
	Text string

	Citation
}

// clone returns a copy that shares no memory with t.
func (t *SiteTest) clone() (out SiteTest) {
	if t.Preload != nil {
		preload := *t.Preload
		out.Preload = &preload
	}
	if t.Set != nil {
		set := *t.Set
		out.Set = &set
	}
	return out
}

// siteTest reads what the file tells of the test.
func (r *siteTestRow) siteTest() *SiteTest {
	t := &SiteTest{}
	if r.Preload != nil {
		preload := r.Preload.factor()
		t.Preload = &preload
	}
	if r.Set != nil {
		t.Set = &Set{r.Set.Text, r.Set.citation()}
	}
	return t
}

// auditTest returns what is wrong with the test of a schedule: it puts on a service load, a share
// of it first, and everything has its source.
func (s Schedule) auditTest() error {
	if s.Test == nil {
		return nil
	}
	var faults []error
	if s.Stage != "service" {
		faults = append(faults, errors.New("a test needs a service load, and the values are "+s.Stage))
	}
	if p := s.Test.Preload; p != nil {
		if !(p.Value > 0 && p.Value <= 1) {
			faults = append(faults, errors.New("the preload of a test is no share of its load"))
		}
		faults = append(faults, sourced("preload", p.Source, p.Provenance, p.Confidence), warned("preload", p.Citation, s.Cautions))
	}
	if set := s.Test.Set; set != nil {
		if set.Text == "" {
			faults = append(faults, errors.New("what may stay after a test has no words"))
		}
		faults = append(faults, sourced("set", set.Source, set.Provenance, set.Confidence), warned("set", set.Citation, s.Cautions))
	}
	return errors.Join(faults...)
}
