// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>Commands that are known and change nothing here: they neither take time that counts, nor feed, nor heat.</summary>
internal static class IdleCommands
{
    private const string Reference = "public documentation of firmware families, summarised in the gcode reference, 2.3, 2.4 and 2.6";
    private const string Memory = "from memory of public documentation, not looked up";

    /// <summary>M commands by what they are for, each group with its source.</summary>
    public static IReadOnlyList<IdleGroup> OfM { get; } =
    [
        new("progress, job timer, display and messages", Reference, [73, 75, 76, 77, 78, 117, 118, 155, 300, 413, 420]),
        new("line counter, debug output, version", Reference, [110, 111, 115]),
        new("labels of objects", Reference, [486]),
        new("files and logs of the card or host", Reference, [23, 24, 26, 27, 29]),
        new("motors on and off, drivers, currents", Reference, [17, 18, 84, 569, 906, 907]),
        new("stored settings", Reference, [500, 503, 504]),
        new("E absolute or relative, and steps of other axes than E; the part that matters is carried out before", Reference, [82, 83, 85, 92, 205, 209]),
        new("pressure advance and non-linear feeding", Reference, [572, 592, 900]),
        new("vibration shaping, whose tail of some milliseconds at stops is left out", Reference, [493, 494, 593]),
        new("control parameters of heaters", Reference, [301, 304, 305, 306, 307, 308, 309]),
        new("checks of the printer's kind, nozzle and version", Reference, [862]),
        new("accessories: pins, servos, lights, spindles, power, cameras, sound", Memory, [5, 42, 43, 80, 81, 126, 127, 150, 240, 245, 246, 250, 260, 261, 280, 281, 355]),
        new("reports of state, position and temperature, and their formats", Memory, [16, 20, 21, 22, 31, 70, 72, 74, 105, 113, 114, 119, 120, 121, 122, 130, 131, 132, 133, 134, 136, 154, 223, 251]),
        new("offsets, ends of travel, geometry and calibration of the frame", Memory, [206, 211, 217, 218, 222, 290, 421, 425, 428, 665, 666, 669, 851]),
        new("filament sensors and widths", Memory, [404, 405, 406, 407, 412, 414, 415]),
        new("dialogues and parameters of the board and its network", Memory, [48, 142, 144, 291, 292, 450, 451, 540, 550, 575, 579, 581, 582, 772, 876, 928, 960]),
        new("step sizes, and modes and thresholds of motor drivers", Memory, [350, 351, 905, 908, 910, 911, 912, 913, 914, 915, 919]),
        new("commands of single vendors that start macros of checks, lights, purge bins and spool units", Memory,
            [709, 710, 715, 860, 861, 863, 864, 865, 866, 867, 868, 869, 970, 971, 973, 974, 975, 982, 1002, 1003, 1006, 9033]),
    ];

    private static readonly bool[] IsOfM = List();

    /// <summary>Whether an M command is one of them.</summary>
    /// <param name="number">Its number [-].</param>
    public static bool HasM(int number) => (uint)number < (uint)IsOfM.Length && IsOfM[number];

    private static bool[] List()
    {
        var list = new bool[OfM.Max(static group => group.Numbers.Max()) + 1];
        foreach (var number in OfM.SelectMany(static group => group.Numbers))
        {
            list[number] = true;
        }

        return list;
    }
}

/// <summary>Commands of one purpose.</summary>
/// <param name="Purpose">What they are for.</param>
/// <param name="Source">How it is known.</param>
/// <param name="Numbers">Their numbers [-].</param>
internal sealed record IdleGroup(string Purpose, string Source, IReadOnlyList<int> Numbers);
