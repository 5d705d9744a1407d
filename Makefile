# Each target is a line that can be typed without make too.
SHELL       := bash
.SHELLFLAGS := -euo pipefail -c

SCHEDULE ?=
FUZZTIME ?= 30s

.PHONY: help run test lint bench fuzz torture growth years build golden screen

help: ## list the targets
	@sed -n 's/^\([a-z]*\):.*## /\1\t/p' Makefile | expand -t 8

run: ## plan the example runner into ./out: sheets, pictures, plan
	go run ./cmd/urdir plan examples/runner.yaml --out out

test: ## run all tests
	go test -timeout 30m ./...

lint: ## run the linters (the first time it builds them, about two minutes)
	go tool -modfile=tools/go.mod golangci-lint run

bench: ## measure everything and write docs/speed.md (half an hour, nothing else running); SCHEDULE=folder names the open scheduling instances
	@if [[ -z '$(SCHEDULE)' ]]; then \
		echo 'bench: SCHEDULE=folder not given, so no scheduling instances; the rest follows'; \
	elif [[ ! -d '$(SCHEDULE)' ]]; then \
		echo 'bench: no folder $(SCHEDULE), so no scheduling instances; the rest follows'; \
	fi
	go run ./bench -schedule '$(SCHEDULE)'

fuzz: ## fuzz every parser, each for FUZZTIME=30s
	@go test -list '^Fuzz' ./... | \
		awk '/^Fuzz/ {names[++n] = $$1} /^ok/ {for (i = 1; i <= n; i++) print $$2, names[i]; n = 0}' | \
		while read -r package name; do \
			go test -run '^$$' -fuzz "^$$name\$$" -fuzztime $(FUZZTIME) "$$package" </dev/null; \
		done

torture: ## kill, fill, cut and slow a real server, over and over (a long run; tests run a short form)
	go test -count=1 -timeout 30m -v -run . ./internal/torture -long

growth: ## fill a PostgreSQL with a federation of 300 cooperatives and click at it (10 GB of disk; tests run a short form)
	go test -count=1 -timeout 90m -v ./internal/growth -long

years: ## keep one workshop for three years of its clock, by the API (a long run; tests run some weeks)
	go test -count=1 -timeout 90m -v -run '^TestYears$$' ./internal/api -days 1095

build: ## build bin/urdir, one file that needs nothing else
	CGO_ENABLED=0 go build -trimpath -o bin/urdir ./cmd/urdir

.PHONY: deb
deb: build ## build bin/urdir_VERSION_ARCHITECTURE.deb, with user, folders and service
	packaging/deb.sh bin/urdir bin

golden: ## write anew what the tests compare with; read the difference before keeping it
	go test $$(grep -rl --include='*_test.go' 'flag.Bool("update"' . | xargs -n 1 dirname | sort -u) -update
	@git --no-pager diff --stat -- '*/testdata/*'

screen: ## build the cloth designer for the browser (kept in the repository, so that one command runs everything)
	GOOS=js GOARCH=wasm CGO_ENABLED=0 go build -trimpath -buildvcs=false -ldflags "-s -w" -o bin/screen.wasm ./cmd/urdir-screen
	gzip -9 -n -c bin/screen.wasm > internal/web/static/screen.wasm.gz
	cp "$$(go env GOROOT)/lib/wasm/wasm_exec.js" internal/web/static/wasm_exec.js
	go test -count=1 -run '^TestScreen_isBuiltOfItsSources$$' ./internal/web -built
