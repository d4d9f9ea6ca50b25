// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Benchmarks;

/// <summary>A deterministic program in memory: wavy walls of short moves, relative E, a layer mark and a retraction now and then.</summary>
internal static class SampleProgram
{
    public const int Lines = 200_000;

    public static byte[] Text { get; } = Write();

    private static byte[] Write()
    {
        var text = new StringBuilder("; filament_type = PLA\n; filament_diameter = 1.75\nM83\nM109 S210\nG1 F3600\n");
        for (var i = 0; i < Lines; i++)
        {
            if (i % 2000 == 0)
            {
                text.Append(CultureInfo.InvariantCulture, $";LAYER:{i / 2000}\nG1 E-0.8 F2100\nG0 X50 Y50 Z{0.2 + (i / 2000 * 0.2):0.##} F9000\nG1 E0.8 F2100\nG1 F3600\n");
            }

            var angle = i * 0.03;
            var radius = 30 + (2 * Math.Sin(angle * 7));
            text.Append(CultureInfo.InvariantCulture, $"G1 X{50 + (radius * Math.Cos(angle)):0.###} Y{50 + (radius * Math.Sin(angle)):0.###} E.03895\n");
        }

        return Encoding.ASCII.GetBytes(text.ToString());
    }
}
