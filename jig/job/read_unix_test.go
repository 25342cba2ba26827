//go:build unix

package job

import (
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// TestReadRefusesPipes: opening a pipe would wait for ever.
func TestReadRefusesPipes(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip("no named pipes here")
	}
	if _, err := Read(pipe); err == nil || !strings.HasSuffix(err.Error(), "is not a regular file (give a text file)") {
		t.Errorf("got %v", err)
	}
}
