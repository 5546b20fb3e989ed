#!/usr/bin/env bash
# What `npm test` runs: types and lint beside the builds and the generated files, then every test. All steps run even
# when an earlier one failed, so that one run tells everything; the last line counts the tests.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=$scratch/failed
touch "$failed"

have() { command -v "$1" >/dev/null 2>&1; }
have_libraries() { /usr/bin/python3 -c "import openpyxl, xlsxwriter" >/dev/null 2>&1; }
have_fonts() { have fc-list && [[ -n $(fc-list "Liberation Sans") ]]; }

# Fills `missing` with the Debian packages whose programs and libraries the tests call and that are not there.
find_missing() {
  missing=()
  have chromium || missing+=(chromium)
  have soffice || missing+=(libreoffice-calc)
  have pdftotext || missing+=(poppler-utils)
  have_fonts || missing+=(fonts-liberation)
  have_libraries || missing+=(python3-openpyxl python3-xlsxwriter)
}

require_programs() {
  local missing
  find_missing
  [[ ${#missing[@]} -eq 0 ]] && return
  if [[ $(id -u) -eq 0 ]] && have apt-get; then
    echo "== Installing ${missing[*]}"
    apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends "${missing[@]}"
    find_missing
    [[ ${#missing[@]} -eq 0 ]] && return
  fi
  echo "The tests need these Debian packages, which are missing; install them as root with" \
    "\"apt-get update && apt-get install -y --no-install-recommends ${missing[*]}\"." >&2
  exit 1
}

step() {
  local name=$1
  shift
  echo "== $name"
  if ! "$@"; then
    echo "$name" >>"$failed"
    echo "-- $name failed" >&2
  fi
}

# Compared as copies, so that it also works in an unpacked archive. The copies are made before the build, which writes
# one of these files itself.
generated=(src/functions/functions.json src/pane/pages/notices.html README.md DEVELOPERS.md
  src/workbook/bid/SHEETS.md src/workbook/checks/rules/index.ts tests/functions/vocabulary.txt)

keep_generated() {
  local file
  for file in "${generated[@]}"; do
    mkdir -p "$scratch/committed/$(dirname "$file")"
    cp "$file" "$scratch/committed/$file" 2>/dev/null
  done
}

check_generated() {
  npm run --silent generate || return 1
  local file status=0
  for file in "${generated[@]}"; do
    if ! diff -u "$scratch/committed/$file" "$file"; then
      echo "$file was not what the generators write: keep the file as it is now and commit it." >&2
      status=1
    fi
  done
  return $status
}

# What is published, built a second time at another hour and place.
again=$scratch/again

build_again() (
  export SWARDSHEET_DIST=$again TZ=Pacific/Auckland LC_ALL=C
  npx webpack --config-name functions --config-name pane && npx tsx src/publish/finish.ts
)

build_twice() {
  build_again >"$scratch/again.log" 2>&1 || { cat "$scratch/again.log" >&2; return 1; }
  diff -u dist/contents.txt "$again/contents.txt" && return
  echo "Two builds of the same files differ in the files above." >&2
  return 1
}

# Neither writes anything, and each takes about as long on one core as the builds do on another.
check_sources() {
  step "Types" npm run --silent typecheck
  step "Lint" npm run --silent lint
  step "Exports that nothing uses" npm run --silent unused
}

report=$scratch/report.json

run_tests() {
  npx vitest run --config .vitest.config.ts --reporter=default --reporter=json --outputFile="$report"
}

# A test file that could not even be loaded has no tests to count, and counts as one failure. What takes longest is
# told first, for whoever wants the whole to be quicker; on a busy machine everything takes longer.
count_tests() {
  node -e '
    const { existsSync, readFileSync } = require("node:fs");
    const { relative } = require("node:path");
    const [, path, failedSteps] = process.argv;
    const files = existsSync(path) ? JSON.parse(readFileSync(path, "utf8")).testResults : [];
    const tests = files.flatMap((file) => file.assertionResults);
    const count = (status) => tests.filter((test) => test.status === status).length;
    const unloaded = files.filter((file) => file.status === "failed" && file.assertionResults.length === 0).length;
    const failed = count("failed") + (files.length === 0 ? 1 : unloaded);
    const seconds = ({ startTime, endTime }) => (endTime - startTime) / 1000;
    const slowest = files.filter((file) => file.assertionResults.length > 0).sort((a, b) => seconds(b) - seconds(a));
    if (slowest.length > 0) console.log("The slowest files, in seconds:");
    for (const file of slowest.slice(0, 20))
      console.log(`${seconds(file).toFixed(1).padStart(7)}  ${relative(process.cwd(), file.name)}`);
    if (failedSteps !== "") console.log(`Failed: ${failedSteps}.`);
    console.log(`${count("passed")} passed, ${failed} failed`);
    process.exitCode = failed > 0 || count("passed") === 0 ? 1 : 0;
  ' "$report" "$(paste -sd, "$failed" | sed 's/,/, /g')"
}

require_programs
keep_generated
check_sources >"$scratch/sources.log" 2>&1 &
sources_job=$!
step "Build" npm run --silent build
step "Generated files" check_generated
step "Same build twice" build_twice
wait "$sources_job"
cat "$scratch/sources.log"
step "Tests" run_tests

count_tests || exit 1
[[ ! -s $failed ]]
