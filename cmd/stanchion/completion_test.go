package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

func TestUnquoted(t *testing.T) {
	for word, want := range map[string]string{
		``:                  ``,
		`EN`:                `EN`,
		`"EN 10`:            `EN 10`,
		`'EN 10`:            `EN 10`,
		`EN\ 10`:            `EN 10`,
		`"EN 10"`:           `EN 10`,
		`"EN "10\ 2`:        `EN 10 2`,
		`EN\`:               `EN`,
		`"a\"b`:             `a"b`,
		`'a\b`:              `a\b`,
		`1010\ \(type\ 1\)`: `1010 (type 1)`,
		`"it's`:             `it's`,
	} {
		if got := unquoted(word); got != want {
			t.Errorf("unquoted(%s) = %q, want %q", word, got, want)
		}
	}
}

// typing is a line and what it becomes when TAB is pressed at its end. Where a
// shell quotes in its own way, it stands in the map.
type typing struct {
	typed string
	want  string
	in    map[string]string
	runs  string // what the line that came out prints; empty to leave it
}

func typings() []typing {
	const medium = `stanchion list tubes --match EN\ 10255\ DN40\ medium `
	return []typing{
		{typed: `stanchion lis`, want: `stanchion list `},
		{typed: `stanchion list sch`, want: `stanchion list schedules `},
		{typed: `stanchion list tubes --ma`, want: `stanchion list tubes --match `},
		{typed: `stanchion list tubes --format j`, want: `stanchion list tubes --format json `},
		{typed: `stanchion completion z`, want: `stanchion completion zsh `},
		{typed: `stanchion help lis`, want: `stanchion help list `},
		{typed: `stanchion list tubes --match EN\ 10255\ DN40\ m`, want: medium, runs: "EN 10255 DN40 medium"},
		{typed: `stanchion list tubes --match en\ 10255\ dn40\ m`, want: medium},
		{typed: `stanchion list tubes --match "EN 10255 DN40 m`, want: `stanchion list tubes --match "EN 10255 DN40 medium" `, runs: "EN 10255 DN40 medium"},
		{typed: `stanchion list tubes --match 'EN 10255 DN40 m`, want: `stanchion list tubes --match 'EN 10255 DN40 medium' `, runs: "EN 10255 DN40 medium"},
		{typed: `stanchion list tubes --match "en 10255 dn40 m`, want: `stanchion list tubes --match "EN 10255 DN40 medium" `,
			in: map[string]string{"fish": medium}},
		{typed: `stanchion list tubes --match=EN\ 10255\ DN40\ m`, want: `stanchion list tubes --match=EN\ 10255\ DN40\ medium `, runs: "EN 10255 DN40 medium"},
		// Several fit: what they share is put in, and the list is not open yet.
		{typed: `stanchion list tubes --match EN\ 10255\ DN4`, want: `stanchion list tubes --match EN\ 10255\ DN40\ `},
		{typed: `stanchion list tubes --match en\ 10255\ dn4`, want: `stanchion list tubes --match EN\ 10255\ DN40\ `,
			in: map[string]string{"fish": `stanchion list tubes --match en\ 10255\ dn4`}},
		{typed: `stanchion list tubes --match as/nzs\ 1163\ 26.9x4`, want: `stanchion list tubes --match AS/NZS\ 1163\ 26.9x4.0 `, runs: "AS/NZS 1163 26.9x4.0"},
		{typed: `stanchion list grades --match 1010`, want: `stanchion list grades --match 1010-1020\ as-welded\ \(type\ 1\) `, runs: "1010-1020 as-welded"},
		{typed: `stanchion list schedules --match en\ 133`, want: `stanchion list schedules --match EN\ 13374\ A `, runs: "EN 13374 A"},
		{typed: `stanchion list checks --match post-be`, want: `stanchion list checks --match post-bending `},
		{typed: `stanchion list tubes --match "EN 10255 DN40 medium" --form`, want: `stanchion list tubes --match "EN 10255 DN40 medium" --format `},
		{typed: `stanchion check ga`, want: `stanchion check gallery.toml `},
		{typed: `stanchion check gallery.toml so`, want: `stanchion check gallery.toml south/`},
		{typed: `stanchion check "my site/w`, want: `stanchion check "my site/walkway.toml" `},
		{typed: `stanchion check my\ site/w`, want: `stanchion check my\ site/walkway.toml `},
		{typed: `stanchion explain ga`, want: `stanchion explain gallery.toml `},
		{typed: `stanchion explain gallery.toml --check rail-sp`, want: `stanchion explain gallery.toml --check rail-span-deflection `},
		{typed: `stanchion prooftest ga`, want: `stanchion prooftest gallery.toml `},
		{typed: `stanchion prooftest gallery.toml --direction in`, want: `stanchion prooftest gallery.toml --direction inward `},
		{typed: `stanchion check -o no`, want: `stanchion check -o notes.txt `},
		{typed: `stanchion version `, want: `stanchion version `},
		{typed: `stanchion list tubes `, want: `stanchion list tubes `},
	}
}

// TestCompletionInRealShells presses TAB in the shells that are installed, each
// on a terminal of its own.
func TestCompletionInRealShells(t *testing.T) {
	for _, shell := range shells() {
		t.Run(shell, func(t *testing.T) {
			t.Parallel()
			term := openTerminal(t, shell)
			for _, c := range typings() {
				want := c.want
				if own, ok := c.in[shell]; ok {
					want = own
				}
				got := term.tab(c.typed)
				if got != want {
					t.Errorf("%s<TAB> becomes\n  %s, want\n  %s", c.typed, got, want)
					continue
				}
				if c.runs != "" {
					// The quoting is the shell's own: the program gets the name.
					out, err := exec.Command(shell, "-c", got).CombinedOutput()
					if err != nil || !bytes.Contains(out, []byte("\n  "+c.runs)) {
						t.Errorf("%s: %v\n%swant a row of %q", got, err, out, c.runs)
					}
				}
			}
		})
	}
}

// start is what a shell does before its first prompt: completion, and ^G, which
// writes the line as it is typed to the file $SEEN.
func start(shell string) string {
	return map[string]string{
		"bash": `[ -e /usr/share/bash-completion/bash_completion ] && source /usr/share/bash-completion/bash_completion
source <(stanchion completion bash)
bind 'set bell-style none'
bind -x '"\C-g": printf "%s\n" "$READLINE_LINE" >>"$SEEN"'
PROMPT_COMMAND=': >>"$READY"'
`,
		"zsh": `autoload -Uz compinit && compinit -u -D
source <(stanchion completion zsh)
seen() { print -r -- "$BUFFER" >>$SEEN }
zle -N seen
bindkey -e
bindkey '^G' seen
setopt nobeep
precmd() { : >>$READY }
`,
		"fish": `stanchion completion fish | source
bind \cg 'commandline >>$SEEN'
function fish_prompt; echo -n >>$READY; end
`,
	}[shell]
}

// terminal is a shell that somebody types into.
type terminal struct {
	t     *testing.T
	keys  *os.File
	seen  string // file that ^G writes the line to
	shown *screen
}

// screen keeps what a terminal shows.
type screen struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *screen) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *screen) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

func openTerminal(t *testing.T, shell string) *terminal {
	if runtime.GOOS != "linux" {
		t.Skip("script(1), which gives a shell its terminal, takes other flags here than on Linux")
	}
	for _, program := range []string{shell, "script"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skip(program + " is not installed")
		}
	}
	home := t.TempDir()
	folder := filepath.Join(home, "barriers")
	for _, name := range []string{"barriers/gallery.toml", "barriers/south/x.toml", "barriers/my site/walkway.toml", "barriers/notes.txt", "start"} {
		text := ""
		if name == "start" {
			text = start(shell)
		}
		path := filepath.Join(home, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	command := map[string]string{
		"bash": "exec bash --noprofile --rcfile ../start -i",
		"zsh":  "exec zsh -d -i", // reads $ZDOTDIR/.zshrc
		"fish": "exec fish --no-config --init-command 'source ../start' -i",
	}[shell]
	if err := os.Symlink("start", filepath.Join(home, ".zshrc")); err != nil {
		t.Fatal(err)
	}
	in, keys, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	term := &terminal{t: t, keys: keys, seen: filepath.Join(home, "seen"), shown: &screen{}}
	ready := filepath.Join(home, "ready")
	cmd := exec.Command("script", "-qfec", command, "/dev/null")
	cmd.Dir = folder
	cmd.Env = append(os.Environ(), "HOME="+home, "ZDOTDIR="+home, "XDG_CONFIG_HOME="+home, "XDG_DATA_HOME="+home,
		"SHELL=/bin/sh", "TERM=xterm", "LC_ALL=C.UTF-8", "PS1=$ ", "SEEN="+term.seen, "READY="+ready)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = in, term.shown, term.shown
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		keys.Close()
		in.Close()
		_ = cmd.Process.Kill() // it may have ended
		_ = cmd.Wait()         // it was killed
	})
	term.await(func() bool {
		_, err := os.Stat(ready)
		return err == nil
	})
	return term
}

// tab types a line, presses TAB, and returns what the line has become.
func (term *terminal) tab(line string) string {
	term.t.Helper()
	if err := os.WriteFile(term.seen, nil, 0o644); err != nil {
		term.t.Fatal(err)
	}
	term.press(line + "\t\x07")
	var seen []byte
	term.await(func() bool {
		seen, _ = os.ReadFile(term.seen)
		return bytes.HasSuffix(seen, []byte("\n"))
	})
	term.press("\x05\x15") // to the end, and all of it away
	return strings.TrimSuffix(string(seen), "\n")
}

func (term *terminal) press(keys string) {
	if _, err := term.keys.WriteString(keys); err != nil {
		term.t.Fatal(err)
	}
}

// await waits until a shell has done something.
func (term *terminal) await(done func() bool) {
	term.t.Helper()
	for end := time.Now().Add(20 * time.Second); !done(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			term.t.Fatalf("the shell does nothing; its terminal shows\n%q", term.shown)
		}
	}
}
