# crankwise_library(FOLDER [LINKS target...]): every .cc of the folder but tests and main; core/belief becomes core_belief.
function(crankwise_library folder)
  cmake_parse_arguments(ARG "" "" "LINKS" ${ARGN})
  string(REPLACE "/" "_" target ${folder})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/${folder}/*.cc)
  list(FILTER sources EXCLUDE REGEX "(_test|/main)\\.cc$")
  add_library(${target} STATIC ${sources})
  target_include_directories(${target} PUBLIC ${CMAKE_SOURCE_DIR})
  target_link_libraries(${target} PUBLIC ${ARG_LINKS})
  if(folder MATCHES "^core/")
    target_compile_options(${target} PRIVATE ${core_options})
  endif()
endfunction()

# crankwise_embed(TARGET FILE NAME): the text of FILE as `extern const char* const NAME` in namespace crankwise::embedded.
function(crankwise_embed target file name)
  set(out ${CMAKE_BINARY_DIR}/embedded/${name}.cc)
  set_property(DIRECTORY ${CMAKE_SOURCE_DIR} APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/${file})
  file(READ ${CMAKE_SOURCE_DIR}/${file} text)
  file(CONFIGURE OUTPUT ${out} CONTENT
"namespace crankwise::embedded {\nextern const char* const ${name};\nconst char* const ${name} = R\"EMBEDDED(@text@)EMBEDDED\";\n}\n" @ONLY)
  target_sources(${target} PRIVATE ${out})
endfunction()
