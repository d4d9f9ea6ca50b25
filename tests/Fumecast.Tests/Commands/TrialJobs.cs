// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Tests.Commands;

/// <summary>Small jobs in a folder of their own, for commands that read them.</summary>
internal sealed class TrialJobs : IDisposable
{
    public string Folder { get; } = Directory.CreateTempSubdirectory("fumecast-").FullName;

    public void Dispose() => Directory.Delete(Folder, recursive: true);

    public string In(string name) => Path.Combine(Folder, name);

    /// <summary>A wall along a square of 60 mm, printed almost all of the time at one temperature.</summary>
    /// <param name="name">Name of the file.</param>
    /// <param name="nozzleC">Nozzle temperature [degC].</param>
    /// <param name="rounds">Rounds of the wall [-].</param>
    /// <param name="pauseS">Pause after each round [s].</param>
    public string Wall(string name, double nozzleC = 210, int rounds = 200, double pauseS = 0)
    {
        var text = new StringBuilder("; filament_type = PLA\nG21\nG90\nM83\nG28\n");
        text.Append(CultureInfo.InvariantCulture, $"M109 S{nozzleC}\nG1 X20 Y20 Z0.2 F6000\n");
        for (var round = 0; round < rounds; round++)
        {
            text.Append(CultureInfo.InvariantCulture, $";LAYER:{round}\nG1 Z{0.2 + 0.2 * round:F2} F600\n");
            text.Append("G1 X80 E2 F1800\nG1 Y80 E2\nG1 X20 E2\nG1 Y20 E2\n");
            if (pauseS > 0)
            {
                text.Append(CultureInfo.InvariantCulture, $"G4 P{1000 * pauseS}\n");
            }
        }

        File.WriteAllText(In(name), text.Append("M104 S0\n").ToString());
        return In(name);
    }

    /// <summary>A file that is no job.</summary>
    public string Broken(string name)
    {
        File.WriteAllBytes(In(name), [0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 3, 1, 2, 3]);
        return In(name);
    }
}
