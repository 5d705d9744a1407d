//go:build !js

package lang

import "embed"

//go:embed words/*.json
var files embed.FS
