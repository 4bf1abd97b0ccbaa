# How every target of the project is compiled, and what a module is.

set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
if(NOT CMAKE_BUILD_TYPE)
  set(CMAKE_BUILD_TYPE Release CACHE STRING "" FORCE)
endif()

find_program(EAVESHED_CCACHE ccache)
if(EAVESHED_CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${EAVESHED_CCACHE})
endif()

if(EAVESHED_UNITY)
  # Names in the unnamed namespaces of a module must differ from each other. Small batches keep all cores at work.
  set(CMAKE_UNITY_BUILD ON)
  set(CMAKE_UNITY_BUILD_BATCH_SIZE 8)
endif()

add_library(eaveshed_flags INTERFACE)
target_include_directories(eaveshed_flags INTERFACE ${PROJECT_SOURCE_DIR}/include)
# No fused multiply-add: two generations of processors must print the same digits.
target_compile_options(eaveshed_flags INTERFACE -ffp-contract=off)

# A program that reads strangers' files: what a defect in it could be used for is made small. The test
# tests/cli/hardened_program_test.cpp looks whether the built program has all of it.
include(CheckCXXCompilerFlag)
target_compile_options(eaveshed_flags INTERFACE -fstack-protector-strong -Wformat -Werror=format-security)
if(NOT CMAKE_POSITION_INDEPENDENT_CODE)
  target_compile_options(eaveshed_flags INTERFACE -fPIE)
endif()
target_link_options(eaveshed_flags INTERFACE $<$<STREQUAL:$<TARGET_PROPERTY:TYPE>,EXECUTABLE>:-pie> -Wl,-z,relro,-z,now
                    -Wl,-z,noexecstack)
check_cxx_compiler_flag(-fcf-protection EAVESHED_HAS_CF_PROTECTION)  # of x86 alone
if(EAVESHED_HAS_CF_PROTECTION)
  target_compile_options(eaveshed_flags INTERFACE -fcf-protection)
endif()
if(NOT EAVESHED_SANITIZE)
  # Needs optimisation; the sanitizers check more themselves.
  target_compile_options(eaveshed_flags INTERFACE
                         $<$<CONFIG:Release,RelWithDebInfo,MinSizeRel>:-U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2>)
endif()
if(EAVESHED_UNITY AND CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  # g++ says so unasked: taken for a header, a source seems to hand out what its unnamed namespace keeps to itself.
  target_compile_options(eaveshed_flags INTERFACE -Wno-subobject-linkage)
endif()
if(EAVESHED_DEVELOPER)
  target_compile_options(eaveshed_flags INTERFACE -Werror -Wall -Wextra -Wpedantic -Wshadow -Wconversion
                         -Wsign-conversion -Wold-style-cast -Wnon-virtual-dtor -Woverloaded-virtual
                         -Wduplicated-cond -Wlogical-op -Wimplicit-fallthrough)
  # These two warn of the standard library's own std::string and std::variant in g++ 12 (bugs 105329 and 105562 there).
  target_compile_options(eaveshed_flags INTERFACE -Wno-maybe-uninitialized -Wno-restrict)
endif()
if(EAVESHED_SANITIZE STREQUAL "address")
  target_compile_options(eaveshed_flags INTERFACE -fsanitize=address,undefined -fno-sanitize-recover=undefined
                         -fno-omit-frame-pointer)
  target_link_options(eaveshed_flags INTERFACE -fsanitize=address,undefined)
elseif(EAVESHED_SANITIZE STREQUAL "thread")
  target_compile_options(eaveshed_flags INTERFACE -fsanitize=thread -fno-omit-frame-pointer)
  target_link_options(eaveshed_flags INTERFACE -fsanitize=thread)
  add_library(eaveshed_tsan_suppressions OBJECT ${PROJECT_SOURCE_DIR}/tests/support/tsan_suppressions.cpp)
  target_link_libraries(eaveshed_flags INTERFACE $<TARGET_OBJECTS:eaveshed_tsan_suppressions>)
endif()
if(EAVESHED_FUZZ)
  # Only our code is watched and led by coverage; the libraries are the distribution's.
  if(NOT CMAKE_CXX_COMPILER_ID STREQUAL "Clang")
    message(FATAL_ERROR "EAVESHED_FUZZ needs clang: set CC=clang CXX=clang++, or call scripts/build fuzz")
  endif()
  set(watch address,undefined,float-cast-overflow)
  target_compile_options(eaveshed_flags INTERFACE -fsanitize=fuzzer-no-link,${watch} -fno-sanitize-recover=all
                         -fno-omit-frame-pointer)
  target_link_options(eaveshed_flags INTERFACE -fsanitize=${watch})
endif()
if(EAVESHED_COVERAGE)
  target_link_options(eaveshed_flags INTERFACE --coverage)  # compiled into the modules alone, not into their tests
endif()

# eaveshed_module(NAME USES module... LINKS library...)
# A module is src/NAME/*.cpp and include/eaveshed/NAME/*.hpp. USES are the modules it may include; LINKS are outside
# libraries, private to its sources, so that no other module can include them by way of it.
function(eaveshed_module name)
  cmake_parse_arguments(ARG "" "" "USES;LINKS" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/${name}/*.cpp)
  file(GLOB headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/include/eaveshed/${name}/*.hpp)
  add_library(eaveshed_${name} STATIC ${sources})
  target_sources(eaveshed_${name} PUBLIC FILE_SET HEADERS BASE_DIRS ${PROJECT_SOURCE_DIR}/include FILES ${headers})
  # The target all_verify_interface_header_sets compiles every header alone.
  set_target_properties(eaveshed_${name} PROPERTIES VERIFY_INTERFACE_HEADER_SETS ON)
  target_link_libraries(eaveshed_${name} PUBLIC eaveshed_flags)
  foreach(module IN LISTS ARG_USES)
    target_link_libraries(eaveshed_${name} PUBLIC eaveshed_${module})
  endforeach()
  target_link_libraries(eaveshed_${name} PRIVATE ${ARG_LINKS})
  if(EAVESHED_COVERAGE)
    target_compile_options(eaveshed_${name} PRIVATE --coverage -fprofile-update=atomic)
  endif()
  set_property(GLOBAL APPEND PROPERTY EAVESHED_MODULES ${name})
endfunction()
