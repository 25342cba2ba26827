package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"reseat/cmd/internal/command"
)

// TestReadme: the makers' page is short, every file that it links or names as its own is
// there, and every command line of reseat in it has a verb and flags that exist. The same
// of the reference.
func TestReadme(t *testing.T) {
	const root, most = "../../..", 1200
	commands := regexp.MustCompile("(?:`|\\./|cmd/)(reseat [a-z][^`\n]*)")
	links := regexp.MustCompile(`\]\(([^)#]+)[^)]*\)`)
	for _, file := range []string{"README.md", "cmd/reseat/REFERENCE.md"} {
		data, err := os.ReadFile(filepath.Join(root, file))
		if err != nil {
			t.Fatal(err)
		}
		text := string(data)
		if n := len(strings.Fields(text)); file == "README.md" && n > most {
			t.Errorf("%d words, more than %d", n, most)
		}
		for _, m := range links.FindAllStringSubmatch(text, -1) {
			if _, err := os.Stat(filepath.Join(root, filepath.Dir(file), m[1])); err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
		found := commands.FindAllStringSubmatch(text, -1)
		for _, m := range found {
			line, _, _ := strings.Cut(m[1], " #")
			words := strings.Fields(line)
			cmd, _, err := newRoot(command.Streams{}).Find(words[1:])
			if err != nil {
				t.Errorf("%s: %s: %v", file, line, err)
				continue
			}
			for _, w := range words {
				if name, ok := strings.CutPrefix(w, "--"); ok && cmd.Flags().Lookup(name) == nil {
					t.Errorf("%s: %s: no flag %s", file, line, w)
				}
			}
		}
		if len(found) < 5 {
			t.Errorf("%s: %d command lines", file, len(found))
		}
	}
}
