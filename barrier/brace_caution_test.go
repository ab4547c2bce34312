package barrier_test

import (
	"slices"
	"strings"
	"testing"
)

// TestBraceCautions warns of a brace that leans into an opening, on either side of it, and of
// one whose foot nobody said stands on anything; one that leans away from the opening, or whose
// foot has a level, brings none of it.
func TestBraceCautions(t *testing.T) {
	const tube = "tube = \"EN 10219 48.3x3.2\"\ngrade = \"S235JRH\"\n"
	const run = "basis = \"EN\"\n[run]\nposts = [\"0 m\", \"1.5 m\", \"2.5 m\", \"4 m\"]\n[[KIND]]\nfrom = \"1.5 m\"\nto = \"2.5 m\"\n" +
		"[post]\n" + tube + "[post.base]\nstiffness = \"rigid\"\n[[rail]]\nname = \"top\"\nheight = \"1.1 m\"\nthrough = false\n" + tube +
		"[[load]]\nkind = \"point\"\nvalue = \"1 kN\"\ndirection = \"outward\"\n[[brace]]\nheight = \"0.9 m\"\n" + tube
	for _, c := range []struct{ kind, post, foot, want string }{
		{"gate", "2", `along = "400 mm"`, "Brace 1 stands in the gate from x = 1.500 m to 2.500 m: its foot reaches 400 mm into the opening."},
		{"gap", "3", `along = "-400 mm"`, "Brace 1 stands in the gap from x = 1.500 m to 2.500 m: its foot reaches 400 mm into the opening."},
		{"gate", "3", `along = "400 mm", outward = "300 mm", level = "-200 mm"`, ""},
		{"gate", "2", `along = "-400 mm", outward = "300 mm", level = "0 mm"`, ""},
		{"gate", "2", `outward = "600 mm"`, "Brace 1 stands on the hazard side of post 2 and its foot.level is not given: its foot counts as standing on the walking surface, 600 mm beyond the post."},
	} {
		d := parse(t, strings.Replace(run, "KIND", c.kind, 1)+"post = "+c.post+"\nfoot = { "+c.foot+" }\n")
		brace := slices.DeleteFunc(said(d.Cautions), func(s string) bool { return !strings.HasPrefix(s, "Brace") })
		if got := strings.Join(brace, "\n"); got != c.want {
			t.Errorf("%s, post %s, %s: cautions %q, want %q", c.kind, c.post, c.foot, got, c.want)
		}
	}
}
