package job

import (
	"os"
	"strings"
	"testing"
)

// TestReadmeListsDefaults keeps the README's table of defaults the one that the
// reader uses; run with -update to write it.
func TestReadmeListsDefaults(t *testing.T) {
	const (
		readme = "../../README.md"
		begin  = "<!-- defaults -->\n"
		end    = "<!-- end of defaults -->\n"
	)
	data, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, ok := strings.Cut(string(data), begin)
	got, tail, ok2 := strings.Cut(rest, end)
	if !ok || !ok2 {
		t.Fatalf("%s has no place for the defaults between %q and %q", readme, begin, end)
	}
	var b strings.Builder
	b.WriteString("| key | default | why |\n|---|---|---|\n")
	for _, d := range Defaults() {
		b.WriteString("| `" + d.Path + "` | " + d.Value + " | " + d.Why + " |\n")
	}
	if got == b.String() {
		return
	}
	if *update {
		if err := os.WriteFile(readme, []byte(head+begin+b.String()+end+tail), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("%s does not list the defaults as they are; run go test ./jig/job -update", readme)
}
