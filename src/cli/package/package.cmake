# A Debian package of the program, the library, the schemas, the example rooms and the plug-ins.
set(documents ${CMAKE_INSTALL_DATADIR}/doc/roomloom)
set(here ${CMAKE_CURRENT_LIST_DIR})
install(FILES ${here}/copyright ${PROJECT_SOURCE_DIR}/README.md DESTINATION ${documents})
set(changelog ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz)
add_custom_command(OUTPUT ${changelog} COMMAND gzip -9nc ${here}/changelog > ${changelog}
                   DEPENDS ${here}/changelog)
add_custom_target(roomloom_changelog ALL DEPENDS ${changelog})
install(FILES ${changelog} DESTINATION ${documents})
install(DIRECTORY ${PROJECT_SOURCE_DIR}/models/ DESTINATION ${documents}/examples)
# The plug-ins as they are installed in their hosts: put together with the code that both share.
find_package(Python3 QUIET COMPONENTS Interpreter)
if(Python3_FOUND)
  set(plugins ${CMAKE_CURRENT_BINARY_DIR}/plugins)
  file(GLOB_RECURSE plugin_sources CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/plugins/*.py
       ${PROJECT_SOURCE_DIR}/plugins/*.xml ${PROJECT_SOURCE_DIR}/plugins/*.toml
       ${PROJECT_SOURCE_DIR}/plugins/*.svg)
  add_custom_command(OUTPUT ${plugins}/roomloom-blender.zip ${plugins}/roomloom-freecad.zip
    COMMAND ${Python3_EXECUTABLE} ${PROJECT_SOURCE_DIR}/scripts/plugins ${plugins}
    DEPENDS ${plugin_sources} ${PROJECT_SOURCE_DIR}/scripts/plugins)
  add_custom_target(roomloom_plugins ALL
    DEPENDS ${plugins}/roomloom-blender.zip ${plugins}/roomloom-freecad.zip)
  install(DIRECTORY ${plugins}/ DESTINATION ${CMAKE_INSTALL_DATADIR}/roomloom/plugins)
endif()

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME roomloom)
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_CONTACT "The Roomloom founders <founders@roomloom.invalid>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ
    GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA ${here}/triggers)
set(CPACK_DEBIAN_PACKAGE_SECTION graphics)
set(CPACK_DEBIAN_PACKAGE_DEPENDS fonts-dejavu-core)
set(CPACK_DEBIAN_PACKAGE_SUGGESTS "blender, freecad")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "plan every cable run of a room inside the modelled room")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "Roomloom reads a room from STEP, OBJ or glTF, fits all cable
runs together in 3D along surfaces and inside voids, and writes an annotated
model, a cut list, schedules, drawings and a page to look at, each checked
by a second way.")
# Packing must not build what nobody installs.
set(CMAKE_SKIP_INSTALL_ALL_DEPENDENCY TRUE)
include(CPack)
