package lang

import "embed"

// The designer's program speaks of cloths and their problems; the words of pages and
// papers stay on the server. A topic that it comes to need is added here.
//
//go:embed words/cli.*.json words/date.*.json words/desk.*.json words/drawing.*.json words/explain.*.json
//go:embed words/label.*.json words/problem.*.json words/recipe.*.json words/sheet.*.json words/yarn.*.json
var files embed.FS
