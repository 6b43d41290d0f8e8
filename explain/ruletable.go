package explain

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"patchfirst/rules"
)

// RuleTable is a part of a base as a decision table: what a method becomes, how high a finding stands, where a note is
// shown, or what hangs on a question.
type RuleTable struct {
	Title  string
	How    string // to read it
	Blocks []RuleBlock
}

// RuleBlock is the rows of one outcome.
type RuleBlock struct {
	Says string
	Rows []RuleRow
}

// RuleRow is one rule: conditions that must all hold, and why.
type RuleRow struct {
	If      []string
	Because string
	Rule    string
	Pos     rules.Pos
	Sources []string
}

const firstDecides = "The first block with a line that holds decides."

// MethodTable is what the rules say of a method.
func MethodTable(b *rules.Base, m *rules.Method) *RuleTable {
	t := &RuleTable{Title: fmt.Sprintf("%s (%s)", m.Label, m.ID), How: firstDecides + " Otherwise it is possible."}
	for v := rules.RuledOut; v >= rules.Favoured; v-- {
		block := RuleBlock{Says: strings.ToUpper(strings.ReplaceAll(v.String(), "_", " "))}
		for _, r := range b.Rules {
			if r.Gives[v].Has(m.Rank) {
				block.Rows = append(block.Rows, ruleRow(b, r))
			}
		}
		t.add(block)
	}
	return t
}

// FindingTable is what raises a finding.
func FindingTable(b *rules.Base, f *rules.Finding) *RuleTable {
	t := &RuleTable{Title: fmt.Sprintf("%s (%s)", f.Label, f.ID), How: fmt.Sprintf("%s Otherwise it is %s.", firstDecides, f.Scale[0])}
	for _, level := range slices.Backward(f.Scale[1:]) {
		block := RuleBlock{Says: strings.ToUpper(strings.ReplaceAll(level, "_", " "))}
		for _, r := range b.Rules {
			if r.Raises[f.ID] == level {
				block.Rows = append(block.Rows, ruleRow(b, r))
			}
		}
		t.add(block)
	}
	return t
}

// NoteTable is where a note is shown.
func NoteTable(b *rules.Base, n *rules.Note) *RuleTable {
	t := &RuleTable{Title: fmt.Sprintf("%s (%s %s)", n.Say, n.Kind, n.ID), How: "It is shown where a line holds and the method is open."}
	block := RuleBlock{Says: "SHOWN"}
	for _, r := range b.Rules {
		if slices.Contains(r.Attach[n.Kind], n.ID) {
			row := ruleRow(b, r)
			row.If = append([]string{"method: " + methods(b, r.With)}, row.If...)
			block.Rows = append(block.Rows, row)
		}
	}
	t.add(block)
	return t
}

// QuestionTable is what hangs on a question: the rules that read its answer, by what they do.
func QuestionTable(b *rules.Base, f *rules.Fact) *RuleTable {
	t := &RuleTable{Title: fmt.Sprintf("%s (%s)", f.Ask, f.ID), How: "These rules read the answer. Others may hang on what they find."}
	var says []string
	rows := map[string][]RuleRow{}
	put := func(what string, row RuleRow, with ...string) {
		if rows[what] == nil {
			says = append(says, what)
		}
		row.If = append(with, row.If...)
		rows[what] = append(rows[what], row)
	}
	for _, r := range b.Rules {
		if !r.When.Facts()[f] {
			continue
		}
		row := ruleRow(b, r)
		for v := rules.RuledOut; v >= rules.Favoured; v-- {
			if r.Gives[v] != 0 {
				put(strings.ToUpper(strings.ReplaceAll(v.String(), "_", " ")), row, "method: "+methods(b, r.Gives[v]))
			}
		}
		for _, g := range b.Findings {
			if level, ok := r.Raises[g.ID]; ok {
				put(strings.ToUpper(g.Label+": "+strings.ReplaceAll(level, "_", " ")), row)
			}
		}
		for _, kind := range rules.NoteKinds {
			for _, id := range r.Attach[kind] {
				put(strings.ToUpper(string(kind)+" "+strings.ReplaceAll(id, "_", " ")), row, "method: "+methods(b, r.With))
			}
		}
	}
	for _, what := range says {
		t.add(RuleBlock{Says: what, Rows: rows[what]})
	}
	return t
}

// methods names a set of methods, by a group of the base where one is the same.
func methods(b *rules.Base, set rules.MethodSet) string {
	var labels []string
	for _, m := range b.Methods {
		if set.Has(m.Rank) {
			labels = append(labels, m.Label)
		}
	}
	if len(labels) == len(b.Methods) {
		return "any"
	}
	for _, g := range b.Groups {
		if g.Of != "method" {
			continue
		}
		if same, _ := b.MethodSet([]string{g.ID}); same == set {
			return strings.ReplaceAll(g.ID, "_", " ")
		}
	}
	return strings.Join(labels, "; ")
}

func (t *RuleTable) add(block RuleBlock) {
	if block.Rows != nil {
		t.Blocks = append(t.Blocks, block)
	}
}

func ruleRow(b *rules.Base, r *rules.Rule) RuleRow {
	row := RuleRow{Because: r.Because, Rule: r.ID, Pos: r.Pos, Sources: r.Sources}
	switch {
	case r.When == nil:
		row.If = []string{"always"}
	case r.When.Root.Op == rules.OpAnd:
		for _, a := range r.When.Root.Args {
			row.If = append(row.If, condition(b, a, false))
		}
	default:
		row.If = []string{condition(b, r.When.Root, false)}
	}
	return row
}

// condition says a condition in the words of the base.
func condition(b *rules.Base, t *rules.Test, negated bool) string {
	switch t.Op {
	case rules.OpNot:
		return condition(b, t.Args[0], !negated)
	case rules.OpAnd, rules.OpOr:
		by := " and "
		if (t.Op == rules.OpOr) != negated {
			by = ", or "
		}
		parts := make([]string, len(t.Args))
		for i, a := range t.Args {
			parts[i] = condition(b, a, negated)
			if a.Op == rules.OpAnd || a.Op == rules.OpOr || a.Op == rules.OpNot && len(a.Args[0].Args) > 1 {
				parts[i] = "(" + parts[i] + ")"
			}
		}
		return strings.Join(parts, by)
	case rules.OpLevel:
		return t.Finding.Label + ": " + levels(t, negated)
	}
	if g := groupOf(b, t); g != "" {
		words := strings.ReplaceAll(g, "_", " ")
		if t.Negated != negated {
			words = "not " + words
		}
		return t.Fact.Words() + ": " + words
	}
	return t.Fact.Parent().Words() + ": " + wants(t, negated)
}

// groupOf names the group of a base that holds just the values of a test.
func groupOf(b *rules.Base, t *rules.Test) string {
	for _, g := range b.Groups {
		if g.Of == t.Fact.ID && len(t.Values) > 1 && slices.Equal(g.Is, t.Values) {
			return g.ID
		}
	}
	return ""
}

// lines lays the table out.
func (t *RuleTable) lines(width int) (lines []string) {
	put := func(text, first, rest string) {
		lines = append(lines, strings.Split(strings.TrimSuffix(Wrap(Clean(text), first, rest, width), "\n"), "\n")...)
	}
	put(t.Title, "", "")
	lines = append(lines, "")
	put(t.How, "", "")
	for _, block := range t.Blocks {
		lines = append(lines, "", block.Says+" IF", strings.Repeat("-", width))
		for i, row := range block.Rows {
			first := fmt.Sprintf("%3d  ", i+1)
			for _, c := range row.If {
				put(c, first, "       ")
				first = " and "
			}
			put(fmt.Sprintf("%s (%s, %s:%d)", row.Because, row.Rule, row.Pos.File, row.Pos.Line), "       - ", "         ")
		}
	}
	return lines
}

// Text writes the table for people.
func (t *RuleTable) Text(out io.Writer, width int) error {
	_, err := io.WriteString(out, strings.Join(t.lines(width), "\n")+"\n")
	return err
}

// SVG draws the table, readable in black and white.
func (t *RuleTable) SVG(out io.Writer) error {
	const wide = 96
	return drawLines(out, t.Title, t.lines(wide), wide)
}

// drawLines draws lines of text of one width.
func drawLines(out io.Writer, title string, lines []string, wide int) error {
	const letter, line, pad = 7, 16, 12
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" font-family="monospace" font-size="11.5" role="img">`+"\n", wide*letter+2*pad, len(lines)*line+2*pad)
	fmt.Fprintf(&b, "<title>%s</title>\n", escapeXML(Clean(title)))
	b.WriteString(`<rect width="100%" height="100%" fill="white"/>` + "\n")
	for i, text := range lines {
		y := pad + line*(i+1) - 4
		switch {
		case strings.HasPrefix(text, "---"):
			fmt.Fprintf(&b, `<path d="M%d,%d H%d" stroke="black"/>`+"\n", pad, y-4, pad+wide*letter)
		case text != "":
			weight := ""
			if i == 0 || strings.HasSuffix(text, " IF") {
				weight = ` font-weight="bold"`
			}
			fmt.Fprintf(&b, `<text x="%d" y="%d" xml:space="preserve"%s>%s</text>`+"\n", pad, y, weight, escapeXML(text))
		}
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(out, b.String())
	return err
}
