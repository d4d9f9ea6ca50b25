// SPDX-License-Identifier: MIT
using Fumecast.Forecast;

namespace Fumecast.Pictures;

/// <summary>A picture of the air of a room: what is added in each zone against time, guidelines, what meters read of it, and remedies.</summary>
public static class RoomPicture
{
    /// <summary>Draws the picture.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="outcome">The forecast, with its series.</param>
    public static void Write(Stream output, PictureFormat format, AirOutcome outcome)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        using var page = new RoomPage(outcome);
        page.Write(output, format);
    }
}
