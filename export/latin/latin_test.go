package latin

import "testing"

func TestSpell(t *testing.T) {
	for in, want := range map[string]string{
		"Λαούτο, δεύτερη όψη": "Laouto, deyteri opsi", "ΜΠΟΥΖΟΥΚΙ": "MPOUZOUKI", "Łódź, żółw": "Lodz, zolw",
		"Příliš žluťoučký": "Prilis zlutoucky", "Größe, ÄÖ": "Groesse, AeOe", "İğne ılık": "Igne ilik",
		"Гриф, вторая Щель": "Grif, vtoraya Shchel", "plain 6.02 ±°": "plain 6.02 ±°", "琵琶": "琵琶",
	} {
		if got := Spell(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
