package sourced

import "testing"

func TestComputedTakesTheWeakestMark(t *testing.T) {
	part := func(m Mark) Value { return One(1, "", m, "") }
	for _, c := range []struct {
		name string
		in   []Value
		want Mark
	}{
		{"firm parts", []Value{part(Given), part(Standard)}, Derived},
		{"a page", []Value{part(Web)}, Derived},
		{"one recalled", []Value{part(Standard), part(Recalled), part(Given)}, Recalled},
		{"practice is weaker", []Value{part(Practice), part(Recalled)}, Practice},
		{"one unknown", []Value{part(Unknown), part(Given)}, Unknown},
	} {
		if got := Computed(1, 2, "N", "", c.in...).Mark; got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	if v := part(Recalled).Times(2, "N", "twice", part(Practice)); v.Mark != Practice || v.Least != 2 || v.Unit != "N" {
		t.Errorf("%+v", v)
	}
}

func TestString(t *testing.T) {
	for _, c := range []struct {
		v    Value
		want string
	}{
		{One(1234.5, "N", Given, ""), "1230 N"},
		{Value{0.69, 1.034, "MPa", Web, ""}, "0.69 to 1.03 MPa"},
		{One(0.4, "", Practice, ""), "0.4"},
		{Value{Mark: Unknown}, "unknown"},
		{Value{}, "unknown"},
	} {
		if got := c.v.String(); got != c.want {
			t.Errorf("%+v: %q, want %q", c.v, got, c.want)
		}
	}
}
