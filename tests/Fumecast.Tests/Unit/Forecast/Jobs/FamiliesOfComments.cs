// SPDX-License-Identifier: MIT
using Fumecast.Forecast;

namespace Fumecast.Tests.Unit.Forecast.Jobs;

/// <summary>Headers and footers in the manner of each family of comments seen in a survey of some 600 real files, with neutral values.</summary>
public class FamiliesOfComments
{
    private const string Hot = "M104 S215\nG28\nM109 S215\nG21\nG90\nM82\nG92 E0\n";

    /// <summary>What a family says, and what must be made of it.</summary>
    private sealed record Family(string Header, string Footer)
    {
        public Wall Wall { get; init; } = new();

        public string Start { get; init; } = Hot;

        /// <summary>Material given by option, for families that name none.</summary>
        public string? Given { get; init; }

        public string Material { get; init; } = "pla";

        public double DiameterMm { get; init; } = 1.75;

        public double? DensityGPerCm3 { get; init; }

        public double? TimeS { get; init; }

        public double? ClaimedMm { get; init; }

        public double? ClaimedG { get; init; }

        public double NozzleC { get; init; } = 215;

        public bool Volumetric { get; init; }

        public string[] Warnings { get; init; } = [];
    }

    private static readonly Dictionary<string, Family> Families = new()
    {
        ["key = value at the end"] = new(
            "; external perimeters extrusion width = 0.45mm\n\n;TYPE:Custom\n",
            "\n; filament used [mm] = 10.62\n; filament used [cm3] = 0.03\n; filament used [g] = 0.03\n; filament cost = 0.01\n"
            + "; estimated printing time (normal mode) = 1h 2m 3s\n; estimated printing time (silent mode) = 1h 30m 3s\n"
            + "; estimated first layer printing time (normal mode) = 4m 36s\n\n; printer_config = begin\n; filament_type = PETG\n; filament_diameter = 1.73\n"
            + "; filament_density = 1.29\n; filament_settings_id = ABS special\n; temperature = 230\n; start_gcode = G28 \\nM104 S999\\n; filament_type = PLA\n"
            + "; nozzle_diameter = 0.4\n; printer_config = end\n")
        {
            Wall = new Wall { Mark = static (_, z) => FormattableString.Invariant($";LAYER_CHANGE\n;Z:{z}\n;HEIGHT:0.2\n;TYPE:External perimeter\n;WIDTH:0.45\n") },
            Material = "petg",
            DiameterMm = 1.73,
            DensityGPerCm3 = 1.29,
            TimeS = 3723,
            ClaimedMm = 10.62,
            ClaimedG = 0.03,
        },
        ["header block"] = new(
            "; HEADER_BLOCK_START\n; model printing time: 7m 34s; total estimated time: 15m 1s\n; total layer number: 4\n; total filament length [mm] : 10.6,0\n"
            + "; total filament volume [cm^3] : 25.5\n; total filament weight [g] : 0.03,0\n; filament_density: 1.22,1.04\n; filament_diameter: 1.75,1.75\n"
            + "; HEADER_BLOCK_END\n\n; CONFIG_BLOCK_START\n; filament_type = PLA;ABS\n; nozzle_temperature = 220,250\n; nozzle_temperature_range_high = 240,280\n; CONFIG_BLOCK_END\n"
            + "; EXECUTABLE_BLOCK_START\nM73 P0 R15\nM1002 gcode_claim_action : 2\n", "; EXECUTABLE_BLOCK_END\n")
        {
            Wall = new Wall { Mark = static (n, z) => FormattableString.Invariant($"; CHANGE_LAYER\n; Z_HEIGHT: {z}\n; LAYER_HEIGHT: 0.2\n; layer num/total_layer_count: {n + 1}/4\nM73 L{n + 1}\n; FEATURE: Outer wall\n; LINE_WIDTH: 0.42\n") },
            DensityGPerCm3 = 1.22,
            TimeS = 901,
            ClaimedMm = 10.6,
            ClaimedG = 0.03,
            Warnings = ["text-after-command"],
        },
        ["KEY:value"] = new(
            ";FLAVOR:Some\n;TIME:4199\n;Filament used: 0.0106m\n;Layer height: 0.2\n;MINX:100\n;MESH:pen-cup.stl\n;LAYER_COUNT:4\n",
            ";TIME_ELAPSED:4199.2\n;End of code\n;SETTING_3 {\"global\": \"[general]\\\\nversion = 4\\\\nmaterial = abs\\\\nmaterial_diameter = 2.85\n;SETTING_3 filament_type = ABS\"}\n")
        {
            Wall = new Wall { Mark = static (n, _) => $";LAYER:{n}\n;TYPE:WALL-OUTER\n;MESH:pen-cup.stl\n" },
            Given = "hips",
            Material = "hips",
            TimeS = 4199,
            ClaimedMm = 10.6,
        },
        ["dotted keys"] = new(
            ";START_OF_HEADER\n;HEADER_VERSION:0.1\n;FLAVOR:Some\n;PRINT.TIME:640\n;EXTRUDER_TRAIN.0.INITIAL_TEMPERATURE:210\n;EXTRUDER_TRAIN.0.MATERIAL.VOLUME_USED:25\n"
            + ";EXTRUDER_TRAIN.0.NOZZLE.DIAMETER:0.4\n;BUILD_PLATE.INITIAL_TEMPERATURE:60\n;END_OF_HEADER\n", "")
        {
            Start = "G28\nG90\nM82\nG92 E0\n",
            Given = "pla",
            TimeS = 640,
            NozzleC = 210,
        },
        ["dotted keys, thick filament"] = new(
            ";START_OF_HEADER\n;PRINT.TIME:640\n;EXTRUDER_TRAIN.0.MATERIAL.VOLUME_USED:68\n;END_OF_HEADER\n", "")
        {
            Given = "pla",
            TimeS = 640,
            Warnings = ["claim-differs"],
        },
        ["comma settings"] = new(
            "; Settings Summary\n;   processName,Fine\n;   extruderDiameter,0.4\n;   layerHeight,0.2\n;   temperatureSetpointCount,1|1\n;   temperatureSetpointTemperatures,230,100\n"
            + ";   temperatureHeatedBed,0,1\n;   filamentDiameters,1.75|1.75\n;   filamentDensities,1.04|1.25\n;   printMaterial,ABS\n;   relativeExtrusion,0\n;   spiralVaseMode,0\n",
            "; Build Summary\n;   Build time: 0 hours 23 minutes\n;   Filament length: 10.4 mm (0.01 m)\n;   Plastic volume: 25.04 mm^3 (0.03 cc)\n;   Plastic weight: 0.03 g (0.00 lb)\n;   Material cost: 0.01\n")
        {
            Wall = new Wall { Mark = static (n, z) => FormattableString.Invariant($"; layer {n + 1}, Z = {z:0.000}\n; feature outer perimeter\n; tool H0.2 W0.45\n") },
            Material = "abs",
            DensityGPerCm3 = 1.04,
            TimeS = 1380,
            ClaimedMm = 10.4,
            ClaimedG = 0.03,
        },
        ["tab settings"] = new(
            "; fiber_dia_mm : \t1.75\n; z_layer_height_mm : \t0.2\n; extruder_temp_degree_c_0 : \t215\n; nozzle_dia_0 : \t0.4\n; material_name : \tPLA\n",
            "; filament_length_m = 0.0106\n; filament_volume_cm3 = 0.026\n; --- print time: 806s ---\n; --- filament used: 10.6 mm ---\n")
        {
            Wall = new Wall { Mark = static (n, _) => $";; --- layer {n} (0.2 @ 0.2) ---\n; <layer>\n; </layer>\n" },
            TimeS = 806,
            ClaimedMm = 10.6,
        },
        ["numbered words"] = new(
            ";Print Time: 640\n;Material#1 Used: 10.4\n;Filament Type #1: ABS\n;Filament Diameter #1: 1.750\n;Filament Density #1: 1040.00\n;Filament Compensation #1: 1.0\n;Layer Count: 4\n", "")
        {
            Material = "abs",
            DensityGPerCm3 = 1.04,
            TimeS = 640,
            ClaimedMm = 10.4,
        },
        ["wizard notes"] = new(
            "; >   > Layer thickness = 0.2 [mm]\n; >   > Filament diameter = 1.75 [mm]\n; >   > Material: PLA\n",
            "; 'Perimeter Path', 0.9 [feed mm/s], 20.0 [head mm/s]\n; Estimated Build Time:   1.62 minutes\n Total estimated (pre-cool) minutes: 0.99\n;    Ext #1  =   10.6 mm  (0.026 cm^3)\n; *** Estimate 1.2 [s], Slowing (0.089x) to 10.1 [s] ***\n")
        {
            Wall = new Wall { Mark = static (_, z) => FormattableString.Invariant($"; BEGIN_LAYER_OBJECT z={z:0.00} z_thickness=0.2\n") },
            TimeS = 97.2,
            ClaimedMm = 10.6,
            Warnings = ["not-a-command"],
        },
        ["bracket tags"] = new(
            "(<creator> own </creator>)\n(<layerThickness> 0.2 </layerThickness>)\n(<profileName> ABS </profileName>)\n(<setting> x_(mm): 2.0 </setting>)\n(<extrusion>)\n",
            "(</extrusion>)\n(end)\n")
        {
            Wall = new Wall { Mark = static (_, z) => FormattableString.Invariant($"(<layer> {z} )\n(<perimeter> outer )\n") },
            Material = "abs",
            Warnings = ["nested-brackets"],
        },
        ["slices in brackets"] = new(
            "(Layer Height: \t0.200)\n(**** start.gcode ****)\nM73 P0 (display progress)\n", "(Slice end)\nM73 P100 (done)\n")
        {
            Wall = new Wall { Mark = static (n, _) => $"(Slice {n}, 1 Extruder)\n" },
            Given = "abs",
            Material = "abs",
        },
        ["older key = value, thick filament"] = new(
            "", "; filament used = 10.6mm (0.07cm3)\n; filament_diameter = 3\n; temperature = 190\n; first_layer_temperature = 195\n; layer_height = 0.2\n; extrusion_multiplier = 1\n")
        {
            Start = "G28\nG90\nM82\nG92 E0\n",
            Given = "pla",
            DiameterMm = 3,
            ClaimedMm = 10.6,
            NozzleC = 190,
        },
        ["volumes in cubic millimetres"] = new(
            ";FLAVOR:Some (Volumetric)\n;TIME:500\n;Filament used: 25.6mm3, 0.0mm3\n;Layer height: 0.2\n", "")
        {
            Wall = new Wall { EPerMm = 0.08, RetractE = 2 },
            Given = "pla",
            TimeS = 500,
            Volumetric = true,
        },
        ["time at the layers"] = new(
            ";PRINTING_TIME: 0\n;REMAINING_TIME: 640\nSTART_CURRENT_OBJECT NAME=cup\n; printing object cup id:0 copy 0\n", "; stop printing object cup id:0 copy 0\nEND_CURRENT_OBJECT\n; filament type = TPU\n")
        {
            Material = "tpu",
            TimeS = 640,
            Warnings = ["claim-differs"],
        },
        ["progress and display"] = new("M73 P0 R35\nM117 Time Left 0h35m0s\n;@enable progress\n@Object cup\n", "M73 P100 R0\n; total print time (s) = 2027\n; filament_type = NYLON\n")
        {
            Material = "pa6",
            TimeS = 2027,
            Warnings = ["material-doubtful", "claim-differs"],
        },
        ["nothing at all"] = new("", "") { Given = "asa", Material = "asa" },
    };

    public static TheoryData<string> Names => [.. Families.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void Give_what_they_say_and_nothing_else(string name)
    {
        var family = Families[name];
        var text = family.Header + family.Start + family.Wall.Text() + "M104 S0\nM84\n" + family.Footer;
        var sum = ObviousFilament.Of(text);
        var areaMm2 = Math.PI * family.DiameterMm * family.DiameterMm / 4;
        var mm3 = sum.HighWaterOfAll * (family.Volumetric ? 1 : areaMm2);
        var estimate = Printed.Run(text, Printed.With(family.Given));
        var tool = Assert.Single(estimate.Job.Tools);

        Close.To(mm3, tool.DepositedMm3, 1e-9);
        Close.To(mm3 / areaMm2, tool.DepositedMm, 1e-9);
        Assert.Equal(family.Material, tool.Material);
        Assert.Equal(4, estimate.Job.Layers);
        Close.To(family.NozzleC, tool.NozzleMeanWhileExtrudingC!.Value, 0.01);
        if (family.DensityGPerCm3 is { } density)
        {
            Close.To(density, tool.DepositedG / mm3 * 1000, 1e-9);
            Assert.Equal("the file's comments", estimate.Setting("density").Because);
        }
        else
        {
            Assert.StartsWith("material ", estimate.Setting("density").Because);
        }

        Same(family.TimeS, estimate.Job.Claims.TimeS);
        Same(family.ClaimedMm, estimate.Job.Claims.FilamentMm);
        Same(family.ClaimedG, estimate.Job.Claims.FilamentG);
        Assert.Equal(family.Warnings, estimate.Warnings());
        Assert.InRange(estimate.Job.Time.MotionS, 5, 60);
    }

    [Fact]
    public void Lists_are_by_tool()
    {
        var text = "; filament_type = PLA;PETG;ABS\n; filament_diameter = 1.75,1.73,1.7\n; filament_density = 0,1.27,1.05\n" + Hot
            + "M104 T2 S240\nT2\nM109 T2 S240\nG92 E0\n" + new Wall().Text();
        var estimate = Printed.Run(text);
        var tool = estimate.Tool(2);
        Assert.Equal("abs", tool.Material);
        Close.To(ObviousFilament.Of(text).HighWater[2] * Math.PI * 1.7 * 1.7 / 4, tool.DepositedMm3, 1e-9);
        Close.To(1.05, tool.DepositedG / tool.DepositedMm3 * 1000, 1e-9);
        Close.To(240, tool.NozzleMeanWhileExtrudingC!.Value, 0.01);
        Assert.Equal("the comments say \"ABS\"", estimate.Setting("material of tool 2").Because);
    }

    [Fact]
    public void Options_win_over_comments()
    {
        var text = "; filament_type = PLA\n; filament_diameter = 1.75\n; filament_density = 1.24\n" + Hot + new Wall().Text();
        var estimate = Printed.Run(text, new EstimateOptions
        {
            MaterialByTool = new Dictionary<int, string> { [0] = "abs" },
            DiameterMm = 2.85,
            DensityGPerCm3 = 1.1,
            NozzleC = 250,
        });
        var tool = estimate.Tool(0);
        Assert.Equal("abs", tool.Material);
        Close.To(ObviousFilament.Of(text).HighWaterOfAll * Math.PI * 2.85 * 2.85 / 4, tool.DepositedMm3, 1e-9);
        Close.To(1.1, tool.DepositedG / tool.DepositedMm3 * 1000, 1e-9);
        Close.To(250, tool.NozzleMeanWhileExtrudingC!.Value, 0.01);
        Assert.Equal("--material", estimate.Setting("material").Because);
        Assert.Equal("--diameter", estimate.Setting("filament diameter").Because);
        Assert.Equal("--density", estimate.Setting("density").Because);
    }

    private static void Same(double? expected, double? actual)
    {
        Assert.Equal(expected.HasValue, actual.HasValue);
        if (expected is { } value)
        {
            Close.To(value, actual!.Value, 1e-9);
        }
    }
}
