// SPDX-License-Identifier: MIT
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>The air that a meter stood in.</summary>
/// <param name="Zone">Its zone.</param>
/// <param name="VolumeM3">Its volume [m3].</param>
/// <param name="IsEnclosed">Whether the printer stands in a box and the meter outside of it: the box is filled first.</param>
/// <param name="LossPerH">Loss rate as it is known beforehand [1/h]; null leaves it to the log.</param>
internal sealed record TrialAir(string Zone, Figure VolumeM3, bool IsEnclosed, Figure? LossPerH)
{
    /// <summary>The air of a notebook's meter.</summary>
    /// <param name="notebook">The notebook, with a room.</param>
    public static TrialAir Of(Notebook notebook)
    {
        var room = notebook.Room ?? throw new InputProblem($"{notebook.File}: a job ran, but no room is named; give 'room' an id or a file");
        var box = room.Box;
        var zone = notebook.MeterIn is { } named ? room.Zones.First(one => one.Id == named) : room.Zones.FirstOrDefault(one => one != box) ?? room.Zones[0];
        return new(zone.Id, zone.VolumeM3, box is not null && zone != box, notebook.LossPerH);
    }
}
