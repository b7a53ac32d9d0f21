#!/bin/sh
# Makes the whole set again. Needs Debian's blender (3.4), python3-opencv (4.6), numpy, scipy, exiftool.
# SAMPLE_BUILD: folder for textures, the baked bay and the linear pictures (about 0.6 GB).
set -e
cd "$(dirname "$0")"
export SAMPLE_BUILD="${SAMPLE_BUILD:-$PWD/build}"
mkdir -p "$SAMPLE_BUILD"
/usr/bin/python3 truth.py
BAKE_SAMPLES="${BAKE_SAMPLES:-200}" nice -n 5 blender -b --factory-startup -P bay.py | grep -E "baked|corners|Error" || true
# Samples per pixel: surroundings, boards, camera sheet.
nice -n 5 blender -b "$SAMPLE_BUILD/bay.blend" -P render.py -- 5 28 10 bay sheet-01 | grep -E "RENDERED|Error"
nice -n 5 blender -b "$SAMPLE_BUILD/bay.blend" -P render.py -- 3 28 8 sheet-02 sheet-03 sheet-04 sheet-05 \
  sheet-06 sheet-07 sheet-08 sheet-09 sheet-10 sheet-11 sheet-12 | grep -E "RENDERED|Error"
nice -n 5 /usr/bin/python3 develop.py
/usr/bin/python3 check_truth.py
