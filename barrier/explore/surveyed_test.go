package explore_test

import (
	"context"
	"os"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/explore"
)

// A barrier that stands and was surveyed is neither laid out anew nor made of other tubes; what was found
// of it may be varied.
func TestSurveyedBarrierIsNotLaidOutAnew(t *testing.T) {
	data, err := os.ReadFile("../../testdata/weir-walk.toml")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := barrier.Read("weir-walk.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	_, spacing := explore.LargestSpacing(context.Background(), doc, explore.SpacingOptions{})
	_, tubes := explore.Tubes(context.Background(), doc, nil, explore.TubeOptions{})
	for what, err := range map[string]error{"spacing": spacing, "tubes": tubes} {
		if err == nil || !strings.Contains(err.Error(), "survey: ") || !strings.Contains(err.Error(), "leave [survey] out") {
			t.Errorf("%s: %v, want a problem at [survey]", what, err)
		}
	}
	for flag, refused := range map[string]bool{
		"run.spacing=1m,1.5m": true, "rail.top.tube=EN 10255 DN40 heavy": true, "post.tube=EN 10255 DN50 medium": true, "rail[0].height=1.05m,1.1m": true,
		"survey.post[4].foot=20 kNm/rad,60 kNm/rad": false, "post.base.stiffness=60 kNm/rad,100 kNm/rad": false,
	} {
		if _, err := explore.NewSweep(doc, []string{flag}); (err != nil) != refused {
			t.Errorf("%s: %v, refused %v", flag, err, refused)
		}
	}
}
