// SPDX-License-Identifier: MIT
using Fumecast.Trial;

namespace Fumecast.Pictures;

/// <summary>A picture of a trial: each log with what the fit makes of it, what happened beside the print, and the ratios with their intervals.</summary>
public static class TrialPicture
{
    /// <summary>Draws the picture.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="outcome">What the trial showed.</param>
    public static void Write(Stream output, PictureFormat format, TrialOutcome outcome)
    {
        ArgumentNullException.ThrowIfNull(outcome);
        using var page = new TrialPage(outcome);
        page.Write(output, format);
    }
}
