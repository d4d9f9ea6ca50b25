// SPDX-License-Identifier: MIT
using Fumecast.Pictures;

namespace Fumecast.Cli;

/// <summary>The name that is given for a picture.</summary>
internal static class PictureName
{
    /// <summary>The form of a picture by the end of its name; also makes sure that pictures can be drawn here.</summary>
    /// <param name="plot">The name, or null for no picture.</param>
    /// <exception cref="UsageProblem">It is none of ours.</exception>
    public static PictureFormat FormatOf(string? plot)
    {
        if (plot is null)
        {
            return default;
        }

        var format = plot.EndsWith(".png", StringComparison.OrdinalIgnoreCase) ? PictureFormat.Png
            : plot.EndsWith(".svg", StringComparison.OrdinalIgnoreCase) ? PictureFormat.Svg
            : throw new UsageProblem($"--plot: found '{plot}', expected a name that ends in .svg or .png");
        DrawingLibrary.Require();
        return format;
    }
}
