package cli

import (
	"os"
	"strings"
	"testing"

	"reseat/cmd/internal/keyhelp"
	"reseat/jig/job"
)

// TestReference keeps the written reference of the keys the one that the reader uses; run
// with -update to write it.
func TestReference(t *testing.T) {
	const (
		file  = "../../../jig/job/KEYS.md"
		begin = "<!-- keys -->\n"
	)
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	head, got, ok := strings.Cut(string(data), begin)
	if !ok {
		t.Fatalf("%s has no place for the keys, after %q", file, begin)
	}
	var b strings.Builder
	section := ""
	for _, k := range job.Keys() {
		if s := k.Path[:len(k.Path)-len(strings.TrimLeft(k.Path, "abcdefghijklmnopqrstuvwxyz "))]; s != section {
			section = s
			b.WriteString("\n## " + s + "\n\n| key | meaning | takes | default | why | source |\n|---|---|---|---|---|---|\n")
		}
		value := k.Default
		if k.Required {
			value = "required"
		}
		b.WriteString("| `" + strings.Join([]string{k.Path + "`", k.Meaning, keyhelp.Takes(k), value, k.Why, k.Mark}, " | ") + " |\n")
	}
	if got == b.String() {
		return
	}
	if *update {
		if err := os.WriteFile(file, []byte(head+begin+b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("%s does not list the keys as they are; run go test ./cmd/internal/cli -update", file)
}
