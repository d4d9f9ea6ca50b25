// SPDX-License-Identifier: MIT
using Fumecast.Trial;

namespace Fumecast.Pictures;

/// <summary>A picture of a meter's log: its readings against time, one panel for each kind of quantity.</summary>
public static class LogPicture
{
    /// <summary>Draws the picture.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="log">The log.</param>
    public static void Write(Stream output, PictureFormat format, MeterLog log)
    {
        ArgumentNullException.ThrowIfNull(log);
        using var page = new LogPage(log);
        page.Write(output, format);
    }
}
