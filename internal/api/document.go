package api

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/http"
	"reflect"
	"slices"
	"strings"

	"github.com/goccy/go-yaml"

	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// documents is the description as a file, by its ending and language.
type documents map[string][]byte

// describe writes the description in every language.
func describe(all []op) (documents, error) {
	out := documents{}
	for _, l := range lang.Languages {
		w, err := lang.For(l)
		if err != nil {
			return nil, err
		}
		body, err := json.MarshalIndent(openAPI(all, w), "", " ")
		if err != nil {
			return nil, fmt.Errorf("description: %w", err)
		}
		out["json "+l] = body
		if out["yaml "+l], err = yaml.JSONToYAML(body); err != nil {
			return nil, fmt.Errorf("description: %w", err)
		}
	}
	return out, nil
}

// document gives the description; anyone may read it.
func (s *server) document(w http.ResponseWriter, r *http.Request) {
	words := speak(r)
	ending, kind := "json", "application/json"
	if strings.HasSuffix(r.URL.Path, ".yaml") {
		ending, kind = "yaml", "application/yaml"
	}
	docs, err := s.docs()
	if err != nil {
		s.fail(w, r, nil, err)
		return
	}
	body := docs[ending+" "+words.Base]
	sum := sha256.Sum256(body)
	s.write(w, r, &op{method: http.MethodGet, text: kind}, workshop.Reply{Status: http.StatusOK, Body: string(body), Tag: `"` + hex.EncodeToString(sum[:8]) + `"`})
}

// openAPI is the description (OpenAPI 3.1) of operations.
func openAPI(all []op, words *lang.Words) object {
	s := &schemas{words, object{}}
	paths := object{}
	for _, o := range all {
		at, _ := paths[prefix+o.path].(object)
		if at == nil {
			at = object{}
			paths[prefix+o.path] = at
		}
		at[strings.ToLower(o.method)] = s.operation(o)
	}
	s.of(problemType)
	var tags []any
	scopes := object{}
	for _, a := range workshop.Areas {
		name := words.T("api-area-"+a.Name, nil)
		tags = append(tags, object{"name": a.Name, "description": name})
		scopes[a.Name+":read"] = name
		if len(a.Writes) > 0 {
			scopes[a.Name+":write"] = name
		}
	}
	return object{
		"openapi": "3.1.0",
		"info":    object{"title": "Urdir", "version": "1", "description": words.T("api-about", nil), "license": object{"name": "Apache 2.0", "identifier": "Apache-2.0"}},
		"servers": []any{object{"url": "/"}},
		"tags":    tags,
		"paths":   paths,
		"components": object{
			"schemas":         s.named,
			"securitySchemes": object{"token": object{"type": "http", "scheme": "bearer", "description": words.T("api-token", nil)}},
			"responses":       s.errors(),
			"headers": object{
				"ETag":     object{"description": words.T("api-header-etag", nil), "schema": object{"type": "string"}},
				"Link":     object{"description": words.T("api-header-link", nil), "schema": object{"type": "string"}},
				"Replayed": object{"description": words.T("api-header-replayed", nil), "schema": object{"type": "string", "enum": []any{"true"}}},
			},
			"parameters": object{
				"IfMatch":        header("If-Match", words.T("api-header-if-match", nil), `"3-1f0c9a2b"`),
				"IfNoneMatch":    header("If-None-Match", words.T("api-header-if-none-match", nil), `"3-1f0c9a2b"`),
				"IdempotencyKey": header("Idempotency-Key", words.T("api-header-key", nil), "2031-05-06-order-17"),
			},
		},
		"security": []any{object{"token": []any{}}},
	}
}

func header(name, about, example string) object {
	return object{"name": name, "in": "header", "required": false, "description": about, "schema": object{"type": "string"}, "example": example}
}

func reference(part, name string) object { return object{"$ref": "#/components/" + part + "/" + name} }

// operation describes one operation.
func (s *schemas) operation(o op) object {
	scope := workshop.ScopeFor(o.call)
	area, _, _ := strings.Cut(scope, ":")
	about := s.words.T("api-op-"+o.id, nil)
	out := object{"operationId": o.id, "tags": []any{area}, "summary": about, "description": about + "\n\n" + s.words.T("api-needs", map[string]any{"scope": scope}),
		"parameters": s.parameters(o), "responses": s.responses(o), "security": []any{object{"token": []any{scope}}}}
	if o.in != nil {
		out["requestBody"] = object{"required": true, "content": object{"application/json": object{"schema": s.of(o.in), "example": example(o.in)}}}
	}
	return out
}

func (s *schemas) parameters(o op) []any {
	out := []any{}
	for part := range strings.SplitSeq(o.path, "/") {
		if name := strings.Trim(part, "{}"); name != part {
			out = append(out, object{"name": name, "in": "path", "required": true, "description": s.words.T("api-field-"+name, nil), "schema": object{"type": "string"}})
		}
	}
	for _, p := range o.query {
		schema := s.of(p.typ)
		if len(p.choices) > 0 {
			schema["enum"] = p.choices
		}
		out = append(out, object{"name": p.name, "in": "query", "required": false, "description": s.words.T("api-query-"+p.name, nil), "schema": schema, "example": p.example})
	}
	if o.method == http.MethodGet {
		return append(out, reference("parameters", "IfNoneMatch"))
	}
	if o.match != matchNone {
		match := reference("parameters", "IfMatch")
		if o.match == matchMust {
			match = header("If-Match", s.words.T("api-header-if-match", nil), `"3-1f0c9a2b"`)
			match["required"] = true
		}
		out = append(out, match)
	}
	return append(out, reference("parameters", "IdempotencyKey"))
}

func (s *schemas) responses(o op) object {
	out := object{}
	for _, status := range statuses {
		if status == http.StatusMethodNotAllowed || o.method == http.MethodGet && slices.Contains([]int{400, 409, 412, 413, 415, 428}, status) {
			continue
		}
		out[fmt.Sprint(status)] = reference("responses", fmt.Sprint("E", status))
	}
	headers := object{"ETag": reference("headers", "ETag")}
	if o.method != http.MethodGet {
		headers["Idempotent-Replayed"] = reference("headers", "Replayed")
	} else {
		out["304"] = object{"description": s.words.T("api-status-304", nil), "headers": object{"ETag": reference("headers", "ETag")}}
	}
	if o.pages {
		headers["Link"] = reference("headers", "Link")
	}
	status := "200"
	switch {
	case o.out == nil:
		delete(headers, "ETag")
		out["204"] = object{"description": s.words.T("api-status-204", nil), "headers": headers}
		return out
	case o.method == http.MethodPost && o.match == matchNone:
		status = "201"
	}
	content := object{"schema": s.of(o.out)}
	if o.out.Kind() == reflect.Struct && o.out.PkgPath() == here {
		content["example"] = example(o.out)
	}
	out[status] = object{"description": s.words.T("api-status-"+status, nil), "headers": headers, "content": object{o.media(): content}}
	return out
}

// errors is what is answered to what cannot be done.
func (s *schemas) errors() object {
	out := object{}
	for _, status := range statuses {
		e := object{"description": s.words.T(fmt.Sprint("api-status-", status), nil), "content": object{"application/problem+json": object{"schema": s.of(problemType)}}}
		if status == http.StatusTooManyRequests || status == http.StatusServiceUnavailable {
			e["headers"] = object{"Retry-After": object{"description": s.words.T("api-header-retry", nil), "schema": object{"type": "integer"}}}
		}
		out[fmt.Sprint("E", status)] = e
	}
	return out
}
