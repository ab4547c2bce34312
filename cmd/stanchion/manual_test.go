package main

import (
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"
)

// TestManualSaysWhatHelpSays compares the words of each man page with those of the help page.
func TestManualSaysWhatHelpSays(t *testing.T) {
	for _, cmd := range documented(rootCommand()) {
		path := cmd.CommandPath()
		long := cmd.Long
		page, err := manPage(cmd, nil)
		if err != nil {
			t.Fatalf("page of %s: %v", path, err)
		}
		got := plainRoff(string(page))
		for word := range strings.FieldsSeq(long) {
			if word != "Exit" && word != "codes:" && !strings.Contains(got, word) {
				t.Errorf("the page of %s lacks %q", path, word)
			}
		}
		for line := range strings.SplitSeq(caution, "\n") {
			if strings.Count(got, line) != 1 {
				t.Errorf("the page of %s has %q %d times, want it once", path, line, strings.Count(got, line))
			}
		}
		cmd.LocalFlags().VisitAll(func(flag *pflag.Flag) {
			if !strings.Contains(string(page), `\fB--`+flag.Name+`\fP`) {
				t.Errorf("the page of %s lacks --%s", path, flag.Name)
			}
		})
	}
}

// plainRoff takes the escapes of roff off a page. Source: groff_man(7), Portability.
func plainRoff(page string) string {
	return strings.NewReplacer(`\-`, "-", `\(bu`, "•", `\[aq]`, "'", `\e`, `\`, `\\`, `\`, `\&`, "").Replace(page)
}

func TestManualHasTheDateOfTheCommit(t *testing.T) {
	info := &debug.BuildInfo{Settings: []debug.BuildSetting{{Key: "vcs.time", Value: "2026-03-04T05:06:07Z"}}}
	if got, want := committed(info), time.Date(2026, 3, 4, 5, 6, 7, 0, time.UTC); got == nil || !got.Equal(want) {
		t.Errorf("committed at %v, want %v", got, want)
	}
	if got := committed(nil); got != nil {
		t.Errorf("a build that recorded nothing was committed at %v, want no time", got)
	}
}

func TestManTextKeepsTables(t *testing.T) {
	const long = `Of two words:
  first   a thing
          of two lines
  second  another [thing]
After *them*.
`
	const want = `Of two words:

first
: a thing
of two lines

second
: another \[thing\]

After \*them\*.
`
	if got := manParagraphs(long); got != want {
		t.Errorf("manParagraphs gives\n%s\nwant\n%s", got, want)
	}
}
