"""The field as VTK image data, which any VTK viewer opens."""

from collections.abc import Mapping

import numpy as np
from vtkmodules.util.numpy_support import numpy_to_vtk
from vtkmodules.vtkCommonDataModel import vtkImageData
from vtkmodules.vtkIOXML import vtkXMLImageDataWriter

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid


def image_text(grid: Grid, field: Field, more: Mapping[str, np.ndarray]) -> str:
    """The whole text of field.vti, in ASCII; written by the writer itself a full disk would go unnoticed.

    more    further values of cells (nx, ny, nz), by name
    """
    image = vtkImageData()
    image.SetDimensions(*(cells + 1 for cells in grid.shape))
    image.SetSpacing(*grid.spacing)
    further = {name: in_vtk_order(values) for name, values in more.items()}
    for name, values in (cell_data(grid, field) | further).items():
        array = numpy_to_vtk(values, deep=True)
        array.SetName(name)
        image.GetCellData().AddArray(array)
    writer = vtkXMLImageDataWriter()
    writer.SetInputData(image)
    writer.SetCompressorTypeToNone()
    writer.SetHeaderTypeToUInt64()
    writer.WriteToOutputStringOn()
    writer.Write()
    return writer.GetOutputString()


def cell_data(grid: Grid, field: Field) -> dict[str, np.ndarray]:
    """What stands in every cell, in VTK's order: x runs fastest. Outside the water all of it is 0."""
    water = grid.water
    return {
        "water": in_vtk_order(water.astype(np.uint8)),
        "open_volume": in_vtk_order(grid.open_volume),
        "velocity": in_vtk_order(field.velocity() * water[..., None]),
        "speed": in_vtk_order(field.speed),
        "fluctuation": in_vtk_order(field.fluctuation),
    }


def in_vtk_order(values: np.ndarray) -> np.ndarray:
    """Values of cells (nx, ny, nz, ...) one after the other."""
    return np.ascontiguousarray(values.swapaxes(0, 2)).reshape(-1, *values.shape[3:])
