# The simulation is compiled once for each kind of machine; which one runs is chosen when it runs.
foreach(target core_flow core_engine)
  target_compile_options(${target} PRIVATE -fno-math-errno -fno-trapping-math)
endforeach()
if(CMAKE_SYSTEM_PROCESSOR MATCHES "x86_64|AMD64" AND NOT EMSCRIPTEN)
  target_compile_definitions(core_engine PRIVATE CRANKWISE_MACHINES)
  set_source_files_properties(core/engine/run_avx2.cc PROPERTIES COMPILE_OPTIONS -mavx2)
  set_source_files_properties(core/engine/run_avx512.cc PROPERTIES COMPILE_OPTIONS
    "-mavx512f;-mavx512dq;-mavx512bw;-mavx512vl;-mprefer-vector-width=512")
else()
  set_source_files_properties(core/engine/run_avx2.cc core/engine/run_avx512.cc PROPERTIES HEADER_FILE_ONLY ON)
endif()
