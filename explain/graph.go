package explain

import (
	"fmt"
	"io"
	"strings"
)

// node is a box of a picture of reasons. Column 0 holds answers, the last the conclusion.
type node struct {
	text   string
	column int
	bold   bool
}

// picture is what mattered for a conclusion: answers on the left, then rules and findings, the conclusion on the right.
type picture struct {
	nodes []node
	edges [][2]int
	at    map[string]int
}

func (y *Why) picture() *picture {
	p := &picture{at: map[string]int{}}
	says := y.Says
	if words, ok := verdictWords[says]; ok {
		says = words
	}
	end := p.add(strings.TrimSuffix(y.Label, ".")+": "+says, true)
	for _, l := range y.Chain {
		p.link(l, end)
	}
	p.place(end)
	return p
}

func (p *picture) add(text string, bold bool) int {
	if i, ok := p.at[text]; ok {
		return i
	}
	p.at[text] = len(p.nodes)
	p.nodes = append(p.nodes, node{text: text, bold: bold})
	return len(p.nodes) - 1
}

func (p *picture) join(from, to int) {
	for _, e := range p.edges {
		if e == [2]int{from, to} {
			return
		}
	}
	p.edges = append(p.edges, [2]int{from, to})
}

func (p *picture) link(l *Link, to int) {
	rule := p.add(l.Rule+": "+l.Because, false)
	p.join(rule, to)
	for _, t := range l.Tests {
		words := t.Name + ": " + t.Wants
		if len(t.By) == 0 && t.Has != "" && t.Has != t.Wants {
			words = fmt.Sprintf("%s: %s (asked: %s)", t.Name, t.Has, t.Wants)
		}
		test := p.add(words, false)
		p.join(test, rule)
		for _, by := range t.By {
			p.link(by, test)
		}
	}
}

// place puts each node as many columns left of the conclusion as its longest way to it, and the answers in the first.
func (p *picture) place(end int) {
	depth := make([]int, len(p.nodes))
	for range p.nodes {
		for _, e := range p.edges {
			depth[e[0]] = max(depth[e[0]], depth[e[1]]+1)
		}
	}
	deepest := 0
	for _, d := range depth {
		deepest = max(deepest, d)
	}
	reached := make([]bool, len(p.nodes))
	for _, e := range p.edges {
		reached[e[1]] = true
	}
	for i := range p.nodes {
		p.nodes[i].column = deepest - depth[i]
		if !reached[i] && i != end {
			p.nodes[i].column = 0
		}
	}
}

// Dot writes the picture in the Graphviz language.
func (y *Why) Dot(out io.Writer) error {
	p := y.picture()
	var b strings.Builder
	b.WriteString("digraph why {\n  rankdir=LR;\n  node [shape=box, fontname=\"sans-serif\"];\n")
	for i, n := range p.nodes {
		style := ""
		if n.bold {
			style = ", penwidth=3"
		}
		fmt.Fprintf(&b, "  n%d [label=\"%s\"%s];\n", i, strings.Join(wrapped(escapeDot(Clean(n.text))), "\\n"), style)
	}
	for _, e := range p.edges {
		fmt.Fprintf(&b, "  n%d -> n%d;\n", e[0], e[1])
	}
	b.WriteString("}\n")
	_, err := io.WriteString(out, b.String())
	return err
}

func escapeDot(s string) string { return strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) }

// boxWidth is how many letters a line of a box holds.
const boxWidth = 30

func wrapped(s string) []string {
	words := strings.Fields(s)
	for i, w := range words {
		if len([]rune(w)) > boxWidth { // an id is broken where its words meet
			words[i] = strings.ReplaceAll(w, "-", "- ")
		}
	}
	s = strings.Join(words, " ")
	return strings.Split(strings.TrimSuffix(Wrap(s, "", "", boxWidth), "\n"), "\n")
}

// SVG writes the picture as a drawing that is readable in black and white.
func (y *Why) SVG(out io.Writer) error {
	p := y.picture()
	const letter, line, pad, gapX, gapY = 7, 16, 8, 50, 16
	const wide = boxWidth*letter + 2*pad
	type box struct{ x, y, h int }
	boxes := make([]box, len(p.nodes))
	heights := map[int]int{}
	columns := 0
	for i, n := range p.nodes {
		h := len(wrapped(Clean(n.text)))*line + 2*pad
		boxes[i] = box{gapX/2 + n.column*(wide+gapX), gapY + heights[n.column], h}
		heights[n.column] += h + gapY
		columns = max(columns, n.column+1)
	}
	tallest := 0
	for _, h := range heights {
		tallest = max(tallest, h)
	}
	for i, n := range p.nodes { // each column stands in the middle
		boxes[i].y += (tallest - heights[n.column]) / 2
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" font-family="monospace" font-size="11.5" role="img">`+"\n", columns*(wide+gapX), tallest+2*gapY)
	fmt.Fprintf(&b, "<title>%s</title>\n", escapeXML(Clean(p.nodes[0].text)))
	b.WriteString(`<defs><marker id="tip" markerWidth="8" markerHeight="8" refX="7" refY="4" orient="auto"><path d="M0,0 L8,4 L0,8 z"/></marker></defs>` + "\n")
	b.WriteString(`<rect width="100%" height="100%" fill="white"/>` + "\n")
	for _, e := range p.edges {
		from, to := boxes[e[0]], boxes[e[1]]
		x1, y1, x2, y2 := from.x+wide, from.y+from.h/2, to.x, to.y+to.h/2
		bend := (x2 - x1) / 2
		fmt.Fprintf(&b, `<path d="M%d,%d C%d,%d %d,%d %d,%d" fill="none" stroke="black" marker-end="url(#tip)"/>`+"\n", x1, y1, x1+bend, y1, x2-bend, y2, x2, y2)
	}
	for i, n := range p.nodes {
		stroke := 1
		if n.bold {
			stroke = 3
		}
		at := boxes[i]
		fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d" fill="white" stroke="black" stroke-width="%d"/>`+"\n", at.x, at.y, wide, at.h, stroke)
		for k, text := range wrapped(Clean(n.text)) {
			fmt.Fprintf(&b, `<text x="%d" y="%d">%s</text>`+"\n", at.x+pad, at.y+pad+line*(k+1)-4, escapeXML(text))
		}
	}
	b.WriteString("</svg>\n")
	_, err := io.WriteString(out, b.String())
	return err
}

func escapeXML(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(s)
}
