# Needs BUILD, SOURCE, WORK, COMPILER, LAUNCHER, LIBEXEC; see CMakeLists.txt.
function(run)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "${ARGN} failed with ${status}:\n${text}")
  endif()
endfunction()

# A list's column, found by the start of its heading. None of the cells here needs quotes.
function(column file heading result)
  file(STRINGS ${file} lines)
  list(POP_FRONT lines head)
  string(REPLACE "," ";" head "${head}")
  set(at -1)
  set(i 0)
  foreach(cell IN LISTS head)
    string(FIND "${cell}" "${heading}" found)
    if(found EQUAL 0 AND at EQUAL -1)
      set(at ${i})
    endif()
    math(EXPR i "${i} + 1")
  endforeach()
  if(at EQUAL -1)
    message(FATAL_ERROR "${file} has no column ${heading}")
  endif()
  set(cells)
  foreach(line IN LISTS lines)
    string(REPLACE ";" " " line "${line}")
    string(REPLACE "," ";" line "${line}")
    list(GET line ${at} cell)
    list(APPEND cells "${cell}")
  endforeach()
  set(${result} "${cells}" PARENT_SCOPE)
endfunction()

file(REMOVE_RECURSE ${WORK})
file(MAKE_DIRECTORY ${WORK})
run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${WORK}/installed)
foreach(part bin/roomloom ${LIBEXEC}/roomloom/roomloom-read include/roomloom/pipeline/roomloom.h)
  if(NOT EXISTS ${WORK}/installed/${part})
    message(FATAL_ERROR "${part} was not installed")
  endif()
endforeach()

run(${CMAKE_COMMAND} -S ${SOURCE} -B ${WORK}/build -D CMAKE_BUILD_TYPE=Release
  -D CMAKE_PREFIX_PATH=${WORK}/installed -D CMAKE_CXX_COMPILER=${COMPILER}
  -D CMAKE_CXX_COMPILER_LAUNCHER=${LAUNCHER})
run(${CMAKE_COMMAND} --build ${WORK}/build)

file(WRITE ${WORK}/room.json [[{ "name": "Box", "outline": { "width": 4, "depth": 5 },
  "height": 2.9, "suspended_ceiling": { "height": 2.5, "tile": [0.6, 0.6] } }]])
file(WRITE ${WORK}/job.json [[{ "model": { "file": "room.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.7,
              "off_wall": 0.15, "ports": ["1..2"] } ],
  "ends": [ { "id": "desk", "at": "Wall back", "from_left": 1, "up": 0.4 },
            { "id": "lamp", "xyz": [2, 2, 2.5], "mount": "on sheet" } ],
  "runs": [ { "id": "N1", "from": "rack", "to": "desk", "cable": "cat6" },
            { "id": "N2", "from": "rack", "to": "lamp", "cable": "cat6" } ] }]])
run(${WORK}/installed/bin/roomloom sketch ${WORK}/room.json -o ${WORK}/room.glb)
run(${WORK}/installed/bin/roomloom route ${WORK}/job.json -o ${WORK}/program)

execute_process(COMMAND ${WORK}/build/consumer ${WORK}/job.json ${WORK}/consumer
  RESULT_VARIABLE status OUTPUT_VARIABLE printed ERROR_VARIABLE told)
if(NOT status EQUAL 0)
  message(FATAL_ERROR "The consumer failed with ${status}: ${told}")
endif()

foreach(file lengths.csv plan.json routed.glb)
  run(${CMAKE_COMMAND} -E compare_files ${WORK}/program/${file} ${WORK}/consumer/${file})
endforeach()
column(${WORK}/program/lengths.csv Run runs)
column(${WORK}/program/lengths.csv Cut lengths)
set(wanted "")
foreach(run length IN ZIP_LISTS runs lengths)
  string(REGEX REPLACE "(\\.[0-9][0-9][0-9])[0-9]*$" "\\1" length "${length}")
  string(APPEND wanted "${run} ${length} m\n")
endforeach()
if(NOT printed STREQUAL wanted)
  message(FATAL_ERROR "The consumer printed\n${printed}where the program lists\n${wanted}")
endif()
