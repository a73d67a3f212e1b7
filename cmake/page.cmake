# The bench screen's page: TypeScript of ui/ bundled into ui/dist, anew when a source has changed.
find_program(CRANKWISE_NPM npm REQUIRED)
file(GLOB_RECURSE page_sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/ui/src/* ${CMAKE_SOURCE_DIR}/ui/static/*)
list(APPEND page_sources ${CMAKE_SOURCE_DIR}/ui/build.mjs ${CMAKE_SOURCE_DIR}/ui/tsconfig.json)
set(page_locks ${CMAKE_SOURCE_DIR}/ui/package.json ${CMAKE_SOURCE_DIR}/ui/package-lock.json)
set(page_modules ${CMAKE_SOURCE_DIR}/ui/node_modules/.package-lock.json)
set(page ${CMAKE_SOURCE_DIR}/ui/dist/index.html)

add_custom_command(OUTPUT ${page_modules} DEPENDS ${page_locks} WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}/ui
  COMMAND ${CRANKWISE_NPM} ci --no-audit --no-fund --silent
  COMMAND ${CMAKE_COMMAND} -E touch ${page_modules} VERBATIM)
add_custom_command(OUTPUT ${page} DEPENDS ${page_modules} ${page_sources} WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}/ui
  COMMAND ${CRANKWISE_NPM} run --silent build
  COMMAND ${CMAKE_COMMAND} -E touch ${page} VERBATIM)
add_custom_target(page ALL DEPENDS ${page})
