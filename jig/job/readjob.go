package job

import (
	"path/filepath"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"
)

// job reads the whole tree.
func (r *reader) job(n *yaml.Node) *Job {
	root := r.open(n, "", "")
	if root == nil {
		return nil
	}
	j := &Job{File: r.file, src: r.src}
	r.unit = r.units(root)
	j.Units = r.unit
	j.Title = root.textOr("title", titleOf(r.file))
	j.Board = r.board(root)
	j.Machine = r.machine(root)
	j.Blank = r.blank(root, j.Board.Wood, j.Machine)
	j.Bed = r.bed(root, j.Machine)
	j.Dowel = r.dowel(root)
	j.Template = r.template(root, j.Machine)
	j.Rails = r.rails(root)
	j.Climate = r.climate(root)
	j.Cutting = r.cutting(root)
	j.Pockets = r.pockets(root)
	j.AccuracyMM = root.lengthOr("accuracy", accuracySpan, defaultAccuracy)
	r.check(j)
	return j
}

// titleOf is the title of a job without one: the file's name without ending,
// as far as it prints and fits a title block.
func titleOf(file string) string {
	base := filepath.Base(filepath.ToSlash(file))
	base = strings.TrimSuffix(base, filepath.Ext(base))
	var title []rune
	for _, r := range base {
		if unicode.IsPrint(r) && len(title) < maxText {
			title = append(title, r)
		}
	}
	return string(title)
}
