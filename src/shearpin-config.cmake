# What the installed libraries need in turn.
include(CMakeFindDependencyMacro)
find_dependency(fmt)
find_dependency(SQLite3)
find_dependency(SQLiteCpp)
find_dependency(Threads)
find_dependency(PkgConfig)
pkg_check_modules(UTF8PROC REQUIRED IMPORTED_TARGET libutf8proc)
include(${CMAKE_CURRENT_LIST_DIR}/shearpin-targets.cmake)
