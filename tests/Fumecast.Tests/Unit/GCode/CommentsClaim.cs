// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.GCode;

namespace Fumecast.Tests.Unit.GCode;

/// <summary>Each spelling seen in our survey of some 600 real files, 2012 to 2026, with neutral values.</summary>
public class CommentsClaim
{
    [Theory]
    [InlineData(";TIME:4199", 4199)]
    [InlineData(";TIME:4199.00", 4199)]
    [InlineData(";PRINT.TIME:640", 640)]
    [InlineData(";Print Time: 640", 640)]
    [InlineData(";Print time:     1:09", 4140)]
    [InlineData(";Print time:     1:09:30", 4170)]
    [InlineData(";Print time: 1 hour 9 minutes", 4140)]
    [InlineData("; estimated printing time (normal mode) = 1d 2h 3m 4s", 93784)]
    [InlineData("; estimated printing time (normal mode) = 0.360335s", 0.360335)]
    [InlineData("; estimated printing time = 2h 4s", 7204)]
    [InlineData("; model printing time: 7m 34s; total estimated time: 15m 1s", 901)]
    [InlineData(";   Build time: 0 hours 23 minutes", 1380)]
    [InlineData(";   Build Time: 2 hours 1 minute", 7260)]
    [InlineData("; Estimated Build Time:   1.62 minutes", 97.2)]
    [InlineData("; Calculated-during-export Build Time: 10.16 minutes", 609.6)]
    [InlineData("; total print time (s) = 2027", 2027)]
    [InlineData("; --- print time: 806s ---", 806)]
    [InlineData("M73 P0 R35", 2100)]
    [InlineData("M73 P0 R35\nM73 P10 R30", 2100)]
    [InlineData(";TIME_ELAPSED:10.5\n;TIME_ELAPSED:99.5", 99.5)]
    [InlineData(";PRINTING_TIME: 0\n;REMAINING_TIME: 640\n;PRINTING_TIME: 10\n;REMAINING_TIME: 630", 640)]
    [InlineData("M117 Time Left 3h59m15s", 14355)]
    [InlineData("M73 P0 R35\n; estimated printing time (normal mode) = 34m 50s", 2090)]
    public void Time(string text, double expectedS) => Close.To(expectedS, Of(text).TimeS!.Value, 1e-12);

    [Theory]
    [InlineData("; estimated first layer printing time (normal mode) = 4m 36s")]
    [InlineData("; estimated printing time (silent mode) = 4m 36s")]
    [InlineData("; filament_load_time = 17")]
    [InlineData("; layer_time = 17")]
    [InlineData("; time_cost = 17")]
    [InlineData(";TIME:0")]
    [InlineData(";TIME:")]
    [InlineData(";TIME:soon")]
    [InlineData("M73 P50 (display progress)")]
    [InlineData("M73 Q0 S35")]
    [InlineData("; start_gcode = M73 P0 R35\\nTIME:12")]
    public void No_time_in(string text) => Assert.Null(Of(text).TimeS);

    [Fact]
    public void Time_without_preparation_is_kept_apart()
    {
        var claims = Of("; model printing time: 7m 34s; total estimated time: 15m 1s");
        Assert.Equal(454, claims.MotionTimeS);
        Assert.Equal(901, claims.TimeS);
    }

    [Theory]
    [InlineData("; filament used [mm] = 1482.1", 1482.1, null, null)]
    [InlineData("; filament used [mm] = 1482.1, 0.0, 34.4", 1516.5, null, null)]
    [InlineData("; filament used [cm3] = 3.6", null, 3600.0, null)]
    [InlineData("; filament used [g] = 8.94", null, null, 8.94)]
    [InlineData("; total filament used [g] = 8.94", null, null, 8.94)]
    [InlineData("; filament used [g] = 0.00", null, null, null)]
    [InlineData("; total filament used for wipe tower [g] = 5.00", null, null, null)]
    [InlineData("; filament used = 1482.1mm (3.6cm3)", 1482.1, 3600.0, null)]
    [InlineData("; filament used = 1482.1mm, 34.4mm (3.6cm3)", 1516.5, 3600.0, null)]
    [InlineData("; filament used = 951.3", 951.3, null, null)]
    [InlineData("; filament used extruder 1 (mm) = 951.3\n; filament used extruder 2 (mm) = 10.0", 961.3, null, null)]
    [InlineData(";Filament used: 1.53m", 1530.0, null, null)]
    [InlineData(";Filament used: 0.137m, 0.105m", 242.0, null, null)]
    [InlineData(";Filament used:0.2914m", 291.4, null, null)]
    [InlineData(";Filament used:     2.584m     20.0g", 2584.0, null, 20.0)]
    [InlineData(";Filament used: 772.133mm3, 674.215mm3", null, 1446.348, null)]
    [InlineData(";EXTRUDER_TRAIN.0.MATERIAL.VOLUME_USED:875\n;EXTRUDER_TRAIN.1.MATERIAL.VOLUME_USED:25", null, 900.0, null)]
    [InlineData("; total filament length [mm] : 220.18,10", 230.18, null, null)]
    [InlineData("; total filament weight [g] : 2.5,1", null, null, 3.5)]
    [InlineData("; total filament volume [cm^3] : 529.60", null, 529.6, null)]
    [InlineData("; total filament length [mm] : 220.18\n; total filament volume [cm^3] : 529.60", 220.18, 529.6, null)]
    [InlineData("; total filament length [mm] : 220.18\n; total filament volume [cm^3] : 0.5296", 220.18, 529.6, null)]
    [InlineData(";   Filament length: 2663.7 mm (2.66 m)", 2663.7, null, null)]
    [InlineData(";   Material Length: 2663.7 mm (2.66 m)", 2663.7, null, null)]
    [InlineData(";   Plastic volume: 6407.05 mm^3 (6.41 cc)", null, 6407.05, null)]
    [InlineData(";   Material Volume: 6407.05 mm^3 (6.41 cc)", null, 6407.05, null)]
    [InlineData(";   Plastic weight: 8.01 g (0.02 lb)", null, null, 8.01)]
    [InlineData(";   Material Weight: 8.01 g (0.02 lb)", null, null, 8.01)]
    [InlineData(";    Ext #1  =   305.09 mm  (0.734 cm^3)\n;    Ext #2  =   10 mm  (0.024 cm^3)", 315.09, 758.0, null)]
    [InlineData(";Material#1 Used: 422.7", 422.7, null, null)]
    [InlineData("; --- filament used: 225.03 mm ---", 225.03, null, null)]
    [InlineData("; filament_length_m = 2.5\n; filament_volume_cm3 = 6.01", 2500.0, 6010.0, null)]
    [InlineData("; filament cost = 0.20", null, null, null)]
    [InlineData("; external perimeters extrusion width = 0.42mm", null, null, null)]
    public void Filament(string text, double? expectedMm, double? expectedMm3, double? expectedG)
    {
        var claims = Of(text);
        Same(expectedMm, claims.FilamentMm);
        Same(expectedMm3, claims.FilamentMm3);
        Same(expectedG, claims.FilamentG);
    }

    [Fact]
    public void Volumes_as_filament_used_say_that_e_is_a_volume()
    {
        Assert.True(Of(";Filament used: 772.133mm3, 674.215mm3").SaysVolumetricE);
        Assert.False(Of("; filament used = 1482.1mm (3.6cm3)").SaysVolumetricE);
        Assert.False(Of(";   Plastic volume: 6407.05 mm^3 (6.41 cc)").SaysVolumetricE);
        Assert.True(Of(";FLAVOR:Word (Volumetric)").SaysVolumetricE);
        Assert.False(Of(";FLAVOR:Word").SaysVolumetricE);
    }

    [Theory]
    [InlineData("; filament_type = PLA", "PLA", "PLA")]
    [InlineData("; filament_type = PLA;PETG", "PLA", "PETG")]
    [InlineData("; filament_type = \"PLA\";\"PETG\"", "PLA", "PETG")]
    [InlineData("; filament_type = ;PETG", null, "PETG")]
    [InlineData(";   printMaterial,ABS", "ABS", "ABS")]
    [InlineData(";   autoConfigureMaterial,ABS", "ABS", "ABS")]
    [InlineData(";Filament Type #1: PLA\n;Filament Type #2: PVA", "PLA", "PVA")]
    [InlineData("; material_name = PA", "PA", "PA")]
    [InlineData("; >   > Material: PLA", "PLA", "PLA")]
    [InlineData("(<profileName> PLA </profileName>)", "PLA", "PLA")]
    [InlineData("(<profileName> nice </profileName>)\n; filament_type = ABS", "ABS", "ABS")]
    [InlineData("; filament type = TPU", "TPU", "TPU")]
    [InlineData("; material : PLA -> PLA", null, null)]
    [InlineData("; filament_type = ", null, null)]
    [InlineData("; filament_settings_id = test", null, null)]
    public void Material(string text, string? first, string? second)
    {
        var claims = Of(text);
        Assert.Equal(first, claims.MaterialOf(0));
        Assert.Equal(second, claims.MaterialOf(1));
    }

    [Theory]
    [InlineData("; filament_diameter = 1.75", 1.75, 1.75)]
    [InlineData("; filament_diameter: 1.75,2.85", 1.75, 2.85)]
    [InlineData("; filamentDiameter = 2.85", 2.85, 2.85)]
    [InlineData(";   filamentDiameters,1.75|1.7", 1.75, 1.7)]
    [InlineData(";Filament Diameter #1: 1.750", 1.75, null)]
    [InlineData("; filament_diameter_mm_0 = 1.73\n; filament_diameter_mm_1 = 3", 1.73, 3.0)]
    [InlineData("; fiber_dia_mm : \t1.75", 1.75, 1.75)]
    [InlineData("; >   > Filament diameter = 1.75 [mm]", 1.75, 1.75)]
    [InlineData("; filament_diameter = 0", null, null)]
    [InlineData("; filament_diameter = 1,75", null, null)]
    public void Diameter(string text, double? first, double? second)
    {
        var claims = Of(text);
        Same(first, claims.DiameterMmOf(0));
        Same(second, claims.DiameterMmOf(1));
    }

    [Theory]
    [InlineData("; filament_density = 1.24", 1.24, 1.24)]
    [InlineData("; filament_density = 0,1.24", null, 1.24)]
    [InlineData("; filament_density = 0", null, null)]
    [InlineData("; filamentDensity = 1.27", 1.27, 1.27)]
    [InlineData(";   filamentDensities,1.25|1.04", 1.25, 1.04)]
    [InlineData(";Filament Density #1: 1240.00", 1.24, null)]
    public void Density(string text, double? first, double? second)
    {
        var claims = Of(text);
        Same(first, claims.DensityGPerCm3Of(0));
        Same(second, claims.DensityGPerCm3Of(1));
    }

    [Theory]
    [InlineData("; nozzle_diameter = 0.4", 0.4)]
    [InlineData(";   extruderDiameter,0.4", 0.4)]
    [InlineData("; nozzleDiameter = 0.6", 0.6)]
    [InlineData("; nozzle_dia_0 = 0.4", 0.4)]
    [InlineData("; nozzle_diameter_mm_0 = 0.4", 0.4)]
    [InlineData(";EXTRUDER_TRAIN.0.NOZZLE.DIAMETER:0.4", 0.4)]
    [InlineData("; nozzle diameter = 0.4", 0.4)]
    public void Nozzle_diameter(string text, double expected) => Same(expected, Of(text).NozzleDiameterMmOf(0));

    [Theory]
    [InlineData("; temperature = 200", 200.0)]
    [InlineData("; first_layer_temperature = 210", 210.0)]
    [InlineData("; first_layer_temperature = 210\n; temperature = 200", 200.0)]
    [InlineData("; nozzle_temperature = 220,220", 220.0)]
    [InlineData("; nozzle_temperature_initial_layer = 225", 225.0)]
    [InlineData("; nozzle_temperature_range_low = 190\n; nozzle_temperature_range_high = 240", null)]
    [InlineData("; temperature_C = 215", 215.0)]
    [InlineData("; extruder_temp_degree_c_0 = 215", 215.0)]
    [InlineData(";EXTRUDER_TRAIN.0.INITIAL_TEMPERATURE:205", 205.0)]
    [InlineData("; firstLayerNozzleTemp = 205", 205.0)]
    [InlineData(";   temperatureSetpointTemperatures,240,100\n;   temperatureHeatedBed,0,1", 240.0)]
    [InlineData(";   temperatureSetpoints,1|260,1|100", 260.0)]
    [InlineData("; idle_temperature = 100\n; standby_temperature_delta = -5\n; bed_temperature = 60", null)]
    [InlineData("; start_gcode = M104 S250\\ntemperature = 3", null)]
    public void Nozzle_temperature(string text, double? expected) => Same(expected, Of(text).NozzleC);

    [Theory]
    [InlineData("; layer_height = 0.2", 0.2)]
    [InlineData(";Layer height: 0.2", 0.2)]
    [InlineData(";   layerHeight,0.25", 0.25)]
    [InlineData("; layerThickness = 0.21", 0.21)]
    [InlineData("(<layerThickness> 0.27 </layerThickness>)", 0.27)]
    [InlineData("; layer_thickness_mm = 0.2", 0.2)]
    [InlineData("; z_layer_height_mm : \t0.12", 0.12)]
    [InlineData("(Layer Height: \t0.270)", 0.27)]
    [InlineData("; LAYER_HEIGHT: 0.3\n; layer_height = 0.2", 0.2)]
    [InlineData(";HEIGHT:0.3", null)]
    [InlineData("; first_layer_height = 0.35\n; max_layer_height = 0.3\n; firstLayerHeightPercentage,90", null)]
    public void Layer_height(string text, double? expected) => Same(expected, Of(text).LayerHeightMm);

    [Theory]
    [InlineData(";LAYER_COUNT:98", 98)]
    [InlineData("; Layer count: 9", 9)]
    [InlineData(";Layer count: 19", 19)]
    [InlineData("; total layer number: 50", 50)]
    public void Layer_count(string text, int expected) => Assert.Equal(expected, Of(text).LayerCount);

    [Fact]
    public void The_plain_words_of_a_written_file_are_read()
    {
        var claims = Of("""
            ; material pla
            ; filament diameter 1.75 mm
            ; density 1.24 g/cm3
            ; nozzle diameter 0.4 mm
            ; nozzle 205 degC
            ; layer height 0.25 mm
            ; takes 1 h 26 min 4 s
            ; uses 5987 mm, 14.4 cm3, 17.9 g
            ; layer 1 of 336
            ; layer 2 of 336
            """);
        Assert.Equal(("pla", 1.75, 1.24, 0.4), (claims.MaterialOf(0), claims.DiameterMmOf(0), claims.DensityGPerCm3Of(0), claims.NozzleDiameterMmOf(0)));
        Assert.Equal((205.0, 0.25, 5164.0), (claims.NozzleC, claims.LayerHeightMm, claims.TimeS));
        Assert.Equal((5987.0, 14400.0, 17.9), (claims.FilamentMm, claims.FilamentMm3, claims.FilamentG));
        Assert.Equal((336, 2), (claims.LayerCount, claims.LayerMarkCount));
        Assert.False(claims.SaysVolumetricE);
    }

    [Fact]
    public void Plain_words_may_list_the_tools()
    {
        var claims = Of("; material pla, petg\n; density 1.24 g/cm3, 1.27 g/cm3\n; uses 100 mm, 20 mm");
        Assert.Equal(("pla", "petg", 1.24, 1.27), (claims.MaterialOf(0), claims.MaterialOf(1), claims.DensityGPerCm3Of(0), claims.DensityGPerCm3Of(1)));
        Assert.Equal(20, claims.FilamentMmOf(1));
    }

    [Theory]
    [InlineData("; material TPU 95A", "TPU 95A")]
    [InlineData("; material silk pla", "silk pla")]
    [InlineData("; material PLA/PHA", "PLA/PHA")]
    [InlineData("; material Generic PLA (silk)", "Generic PLA (silk)")]
    [InlineData("; material our own blend\n; material pla", "pla")]
    public void Plain_words_may_name_a_material_in_several(string text, string expected) => Assert.Equal(expected, Of(text).MaterialOf(0));

    [Theory]
    [InlineData("; material: PLA", "PLA")]
    [InlineData("; material = PETG", "PETG")]
    [InlineData(";material:PETG", "PETG")]
    [InlineData("; Material : TPU 95A", "TPU 95A")]
    [InlineData("; material: PLA\n; filament_type = ABS", "ABS")]
    [InlineData("; material: our own blend\n; material = pla", "pla")]
    public void A_person_may_put_a_sign_between_key_and_material(string text, string expected) => Assert.Equal(expected, Of(text).MaterialOf(0));

    [Fact]
    public void A_list_behind_a_sign_is_one_of_tools()
    {
        var claims = Of("; material: PLA, ABS");
        Assert.Equal(("PLA", "ABS", null), (claims.MaterialOf(0), claims.MaterialOf(1), claims.MaterialOf(2)));
        Assert.Equal(["PLA", "ABS"], claims.MaterialsInPlainWords);
        Assert.Empty(Of("; filament_type = PLA;ABS").MaterialsInPlainWords);
        Assert.Empty(Of("; material: PLA").MaterialsInPlainWords);
    }

    [Theory]
    [InlineData("; material : PLA -> PLA")]
    [InlineData("; material: 3210")]
    [InlineData("; material = see the label")]
    [InlineData("; material, PLA")]
    [InlineData("; material for the ABS test")]
    [InlineData("; material cost 0.35")]
    [InlineData("; material one two three four five")]
    [InlineData("; material is changed here")]
    [InlineData("; material 2")]
    [InlineData("; density 15 %")]
    [InlineData("; density = 15%")]
    [InlineData("; density 1.24")]
    [InlineData("; nozzle 4 mm above the plate")]
    [InlineData("; nozzle_hrc = 3")]
    [InlineData("; uses 3 walls")]
    [InlineData("; uses 5 m of string")]
    [InlineData("; takes 5 minutes to cool")]
    [InlineData("; takes 5")]
    [InlineData("; filament diameter 1.75 or so")]
    [InlineData("; layer height 0.2 mm or less")]
    [InlineData("; layer 1 of many")]
    public void Prose_that_begins_with_a_plain_word_claims_nothing(string text) => Assert.Empty(Of(text).All);

    [Fact]
    public void A_key_with_its_sign_is_surer_than_a_plain_word() =>
        Assert.Equal("PETG", Of("; material change\n; filament_type = PETG").MaterialOf(0));

    [Theory]
    [InlineData("; use_relative_e_distances = 1", true)]
    [InlineData("; use_relative_e_distances = 0", false)]
    [InlineData(";   relativeExtrusion,1", true)]
    public void Relative_e(string text, bool expected) => Assert.Equal(expected, Of(text).SaysRelativeE);

    [Theory]
    [InlineData(";LAYER:-1\n;LAYER:0\n;LAYER:1", 3)]
    [InlineData(";LAYER_CHANGE\n;Z:0.2\n;HEIGHT:0.2\n;BEFORE_LAYER_CHANGE\n;AFTER_LAYER_CHANGE\n;LAYER_CHANGE", 2)]
    [InlineData("; CHANGE_LAYER\n; Z_HEIGHT: 0.2\n; LAYER_HEIGHT: 0.2\nM73 L1\n; layer num/total_layer_count: 1/25\n; CHANGE_LAYER\nM73 L2", 2)]
    [InlineData("; layer 1, Z = 0.480\n; layer 2, Z = 0.960", 2)]
    [InlineData("; Layer Change GCode\n; LAYER:0", 1)]
    [InlineData("; layer num/total_layer_count: 1/25\n; layer num/total_layer_count: 2/25", 2)]
    [InlineData("; BEGIN_LAYER_OBJECT z=0.17 z_thickness=0.17\n; BEGIN_LAYER_OBJECT z=0.17\n; BEGIN_LAYER_OBJECT z=0.34", 2)]
    [InlineData(";; --- layer 0 (0.25 @ 0.25) ---\n;; --- layer 1 (0.25 @ 0.5) ---", 2)]
    [InlineData("; <layer>\n; </layer>\n; <layer>", 2)]
    [InlineData("(<layer> 0.135 )", 1)]
    [InlineData("(Slice 0, 1 Extruder)\n(Slice 1, 1 Extruder)", 2)]
    [InlineData("(**** LAYER 0.35 ****)", 1)]
    [InlineData("M73 L1\nM73 L1\nM73 L2", 2)]
    [InlineData("; layer_height = 0.2\n;LAYER_COUNT:98\n;layer end\n;TYPE:FILL", 0)]
    public void Layer_marks(string text, int expected) => Assert.Equal(expected, Of(text).LayerMarkCount);

    [Fact]
    public void Thumbnail_is_passed_over()
    {
        const string Picture = "; thumbnail begin 48x48 680\n; TIME=999\n; AAAA\n; thumbnail end\n";
        Assert.Equal(5, Of(Picture + ";TIME:5").TimeS);
        Assert.Equal(5, Of(Picture.Replace("thumbnail ", "thumbnail_QOI ", StringComparison.Ordinal) + ";TIME:5").TimeS);
        Assert.Equal(5, Of("; THUMBNAIL_BLOCK_START\n" + Picture + "; THUMBNAIL_BLOCK_END\n;TIME:5").TimeS);
    }

    [Fact]
    public void Thumbnail_without_an_end_does_not_swallow_the_rest()
    {
        var claims = Of("; thumbnail begin 48x48 680\n; AAAA\n; filament_type = ABS\n;TIME:5");
        Assert.Equal(("ABS", 5.0), (claims.MaterialOf(0), claims.TimeS));
    }

    [Fact]
    public void First_statement_holds_and_keeps_key_value_and_line()
    {
        var claims = Of("G28\n; filament_type = PLA;PETG\n; filament_type = ABS\n;TIME:12\n;TIME:13\n");
        Assert.Equal("PLA", claims.MaterialOf(0));
        Assert.Equal(2, claims.MaterialLine);
        Assert.Equal(4, claims.TimeLine);
        Assert.Equal([new("filament_type", "PLA;PETG", 2), new CommentClaim("TIME", "12", 4)], claims.All);
    }

    [Fact]
    public void Lower_rank_claim_behind_a_surer_one_changes_nothing()
    {
        var claims = Of(";TIME:12\nM73 P0 R35\n; nozzle_temperature = 220\n; nozzle_temperature_initial_layer = 230");
        Assert.Equal(12, claims.TimeS);
        Assert.Equal(220, claims.NozzleC);
    }

    [Fact]
    public void Marks_at_each_layer_take_no_memory()
    {
        var claims = new CommentClaims();
        void Layer()
        {
            claims.ReadComment("LAYER_CHANGE"u8, 1);
            claims.ReadComment("Z:0.2"u8, 2);
            claims.ReadComment("HEIGHT:0.2"u8, 3);
            claims.ReadComment("TYPE:FILL"u8, 4);
            claims.ReadComment("TIME_ELAPSED:1234.5"u8, 5);
            claims.ReadComment(" LAYER_HEIGHT: 0.2"u8, 6);
            claims.ReadComment("MESH:part"u8, 7);
        }

        Layer();
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 10_000; i++)
        {
            Layer();
        }

        // Less than one byte for each of the comments; an object takes 24.
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 70_000);
    }

    [SkippableFolderFact]
    public void Real_files_claim_what_their_list_says()
    {
        var vase = Of(File.ReadAllText(RealFiles.PathOf("vase-spiral-config-block.gcode"), Encoding.Latin1));
        Assert.Equal(
            (4000.0, 2996.07, 8.94, "PLA", 1.75, 1.24, true), (vase.TimeS, vase.FilamentMm, vase.FilamentG, vase.MaterialOf(0), vase.DiameterMmOf(0), vase.DensityGPerCm3Of(0), vase.SaysRelativeE));
        Assert.Equal(196 * 60, Of(File.ReadAllText(RealFiles.PathOf("hourglass-no-spaces-arcs.gcode"), Encoding.Latin1)).TimeS);
        var puzzle = Of(File.ReadAllText(RealFiles.PathOf("puzzle-abs-e-layer-marks.gcode"), Encoding.Latin1));
        Assert.Equal((3485.0, 119, 119), (puzzle.TimeS, puzzle.LayerCount, puzzle.LayerMarkCount));
        var part = Of(File.ReadAllText(RealFiles.PathOf("part-31min-measured.gcode"), Encoding.Latin1));
        Assert.Equal(
            (1380.0, 2663.7, 6407.05, 8.01, "ABS", 240.0), (part.TimeS, part.FilamentMm, part.FilamentMm3, part.FilamentG, part.MaterialOf(0), part.NozzleC));
        var figure = Of(File.ReadAllText(RealFiles.PathOf("figure-abs-e-settings-block.gcode"), Encoding.Latin1));
        Assert.Equal((2027.0, 951.3, 2.85), (figure.TimeS, figure.FilamentMm, figure.DiameterMmOf(0)));
        Assert.Empty(Of(File.ReadAllText(RealFiles.PathOf("cube-plain-moves.gcode"), Encoding.Latin1)).All);
    }

    private static CommentClaims Of(string text) => Reading.Of(text).Claims;

    private static void Same(double? expected, double? actual)
    {
        Assert.Equal(expected is null, actual is null);
        if (expected is { } value)
        {
            Close.To(value, actual!.Value, 1e-12);
        }
    }
}
