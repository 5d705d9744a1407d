package web

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/url"
	"regexp"
	"slices"
	"strings"
)

// node is an element of a page.
type node struct {
	tag    string
	attr   map[string]string
	text   string // all text in it
	parent *node
	kids   []*node
}

// linkedData is the type of a script that is none: browsers do not run it.
const linkedData = "application/ld+json"

// Elements that have no end (HTML standard, 13.1.2, "void elements"), and those
// of SVG, which a page may end in their start.
var void = []string{"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}

// parse reads a page. Each element but the void ones must be ended, in order.
func parse(page string) (*node, error) {
	if !strings.HasPrefix(page, "<!DOCTYPE html>") {
		return nil, errors.New("no <!DOCTYPE html>")
	}
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict = false // attributes may have no value
	d.Entity = xml.HTMLEntity
	root := &node{tag: "#root"}
	at := root
	for {
		t, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			if at != root {
				return root, fmt.Errorf("<%s> is not ended", at.tag)
			}
			return root, nil
		}
		if err != nil {
			return root, err
		}
		switch t := t.(type) {
		case xml.StartElement:
			n := &node{tag: t.Name.Local, attr: map[string]string{}, parent: at}
			for _, a := range t.Attr {
				if _, twice := n.attr[a.Name.Local]; twice {
					return root, fmt.Errorf("<%s> has %s twice", n.tag, a.Name.Local)
				}
				n.attr[a.Name.Local] = a.Value
			}
			at.kids = append(at.kids, n)
			if !slices.Contains(void, n.tag) {
				at = n
			}
		case xml.EndElement:
			if slices.Contains(void, t.Name.Local) {
				continue // the reader ends <br/> by itself
			}
			if at.tag != t.Name.Local {
				return root, fmt.Errorf("</%s> ends <%s>", t.Name.Local, at.tag)
			}
			at = at.parent
		case xml.CharData:
			for n := at; n != nil; n = n.parent {
				n.text += string(t)
			}
		}
	}
}

// all is every element with a tag, or every element at all.
func (n *node) all(tag string) (out []*node) {
	for _, k := range n.kids {
		if tag == "" || k.tag == tag {
			out = append(out, k)
		}
		out = append(out, k.all(tag)...)
	}
	return out
}

// byID is the element with an id, or nil.
func (n *node) byID(id string) *node {
	for _, k := range n.all("") {
		if v, ok := k.attr["id"]; ok && v == id {
			return k
		}
	}
	return nil
}

// inside says whether a node stands in an element with a tag.
func (n *node) inside(tag string) *node {
	for p := n.parent; p != nil; p = p.parent {
		if p.tag == tag {
			return p
		}
	}
	return nil
}

// field is the field of a form with a name, or nil.
func (n *node) field(name string) *node {
	for _, k := range n.all("") {
		if (k.tag == "input" || k.tag == "select" || k.tag == "textarea") && k.attr["name"] == name {
			return k
		}
	}
	return nil
}

// holds is what a field would send.
func (n *node) holds() string {
	switch n.tag {
	case "textarea":
		return strings.TrimPrefix(n.text, "\n")
	case "select":
		first := true
		now := ""
		for _, o := range n.all("option") {
			if _, chosen := o.attr["selected"]; chosen || first {
				now, first = o.attr["value"], false
			}
		}
		return now
	}
	return n.attr["value"]
}

// fields is what a form would send if it were sent as it stands, without its
// buttons.
func (n *node) fields() url.Values {
	out := url.Values{}
	for _, k := range n.all("") {
		name, ok := k.attr["name"]
		if !ok || k.tag == "button" || k.tag == "meta" || k.attr["type"] == "file" {
			continue
		}
		if _, ticked := k.attr["checked"]; k.attr["type"] == "checkbox" && !ticked {
			continue
		}
		out.Add(name, k.holds())
	}
	return out
}

// mainForms are the forms of a page's own part.
func (n *node) mainForms() (out []*node) {
	for _, m := range n.all("main") {
		out = append(out, m.all("form")...)
	}
	return out
}

var (
	missing  = regexp.MustCompile(`\[[a-z]+[a-z-]*\]|<no value>|&lt;no value&gt;|%!|\[(?:[a-z]+-)+[^\]]*\]`)
	outside  = regexp.MustCompile(`(?i)^\s*(https?:)?//|^\s*(javascript|data|vbscript):`)
	anchored = []string{"href", "src", "action", "formaction", "poster", "srcset", "data"}
)

// faultsOf is everything that is wrong with a page as HTML and for people who
// cannot see it (WCAG 2.2: 1.3.1 labels, 2.4.6 one heading, 3.1.1 language).
func faultsOf(page, lang string) (out []string) {
	say := func(format string, v ...any) { out = append(out, fmt.Sprintf(format, v...)) }
	root, err := parse(page)
	if err != nil {
		return []string{err.Error()}
	}
	if m := missing.FindString(page); m != "" {
		say("words are missing: %s", m)
	}
	for tag, n := range map[string]int{"html": 1, "main": 1, "h1": 1, "title": 1} {
		if got := len(root.all(tag)); got != n {
			say("<%s>: %d, want %d", tag, got, n)
		}
	}
	for _, h := range root.all("html") {
		if h.attr["lang"] != lang {
			say("lang %q, want %q", h.attr["lang"], lang)
		}
	}
	seen := map[string]bool{}
	for _, k := range root.all("") {
		if id, ok := k.attr["id"]; ok {
			if seen[id] || id == "" || strings.ContainsAny(id, " \t\n") {
				say("id %q twice, empty or with blanks", id)
			}
			seen[id] = true
		}
	}
	for _, k := range root.all("") {
		out = append(out, faultsOfElement(root, k)...)
	}
	return out
}

func faultsOfElement(root, k *node) (out []string) {
	say := func(format string, v ...any) {
		out = append(out, fmt.Sprintf("<%s name=%q id=%q>: ", k.tag, k.attr["name"], k.attr["id"])+fmt.Sprintf(format, v...))
	}
	for name, v := range k.attr {
		switch {
		case strings.HasPrefix(name, "on"):
			say("handler %s", name)
		case name == "style":
			say("inline style")
		case slices.Contains(anchored, name) && outside.MatchString(v):
			say("%s reaches outside: %s", name, v)
		}
	}
	for ref := range strings.FieldsSeq(k.attr["aria-describedby"]) {
		if root.byID(ref) == nil {
			say("described by %q, which is not there", ref)
		}
	}
	switch k.tag {
	case "script":
		if k.attr["src"] == "" && k.attr["type"] != linkedData {
			say("script without src")
		}
	case "style":
		say("inline style")
	case "label":
		if f := k.attr["for"]; f != "" && root.byID(f) == nil {
			say("label for %q, which is not there", f)
		}
		if strings.TrimSpace(k.text) == "" {
			say("empty label")
		}
	case "img":
		if strings.TrimSpace(k.attr["alt"]) == "" {
			say("picture without words")
		}
	case "a":
		if strings.TrimSpace(k.text) == "" && len(k.all("img")) == 0 {
			say("link without words to %s", k.attr["href"])
		}
	case "button":
		if strings.TrimSpace(k.text) == "" {
			say("button without words")
		}
	case "input", "select", "textarea":
		if k.attr["type"] != "hidden" && !labelled(root, k) {
			say("no label")
		}
	}
	return out
}

func labelled(root, k *node) bool {
	if k.attr["type"] == "image" && k.attr["alt"] != "" {
		return true
	}
	if strings.TrimSpace(k.attr["aria-label"]) != "" || k.inside("label") != nil {
		return true
	}
	for _, l := range root.all("label") {
		if l.attr["for"] != "" && l.attr["for"] == k.attr["id"] {
			return true
		}
	}
	return false
}
