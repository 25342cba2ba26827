package gcode
import ("testing";"os";"reseat/jig/toolpath")
func TestZZ(t *testing.T){ os.WriteFile("/tmp/mut/bores.nc", render(t, sample(t, toolpath.Settings{}), Options{}),0o600) }
