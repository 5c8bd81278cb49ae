using XoverOpt.Search;
using XoverOpt.Worker.Commands;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Analyses;

/// <summary>What may be asked of a level budget, by option or query.</summary>
internal static class LevelInput
{
    private static readonly NumberRange _dbu = new(-60, 40, "dBu");

    private static readonly NumberSetting
        _console = new("consoleMaxDbu", "The console's highest output, dBu; 22 if left out.", _dbu),
        _transmitter = new("transmitterFullDbu", "Level at the transmitter that fills the radio link, dBu; 18 if left out.", _dbu),
        _packVolt = new("packMaxVolt", "Highest output of the body pack, V RMS, open circuit; 1 if left out.", NumberRange.Positive(20, "V")),
        _packOhm = new("packOhm", "Its output resistance, Ω; that of the job's source if left out.", NumberRange.NotNegative(1000, "Ω")),
        _packLoad = new("packMinLoadOhm", "The lowest load it is made for, Ω; 16 if left out.", NumberRange.NotNegative(1000, "Ω")),
        _packVolume = new("packVolumeDb", "Its volume, dB; 0 if left out: a full link just makes its highest output.", new(-80, 40, "dB")),
        _wanted = new("wantedDb", "Wanted mean eardrum SPL at 1 kHz, dB; 95 if left out.", new(40, 130, "dB")),
        _crest = new("crestDb", "Peaks of the programme above its mean, dB; 12 if left out.", new(3, 30, "dB")),
        _desk = new("deskDbu", "Level of programme noise at the desk for the exposure, dBu; what makes the wanted level if left out.", new(-80, 40, "dBu"));

    /// <summary>Every number.</summary>
    public static IReadOnlyList<NumberSetting> All { get; } = [_console, _transmitter, _packVolt, _packOhm, _packLoad, _packVolume, _wanted, _crest, _desk];

    /// <summary>The fields an exposure may be referred to.</summary>
    public static IReadOnlyList<string> Fields { get; } = ["diffuse", "free"];

    /// <summary>The settings, defaults for what was left out.</summary>
    public static LevelSettings Settings(GivenNumbers given, string field, Problem problem)
    {
        LevelSettings usual = new() { Chain = new StageChain { PackOhm = problem.Source.Resistance } };
        return new()
        {
            Chain = new()
            {
                ConsoleMaxDbu = given.One(_console, usual.Chain.ConsoleMaxDbu),
                TransmitterFullDbu = given.One(_transmitter, usual.Chain.TransmitterFullDbu),
                PackMaxVolt = given.One(_packVolt, usual.Chain.PackMaxVolt),
                PackOhm = given.One(_packOhm, usual.Chain.PackOhm),
                PackMinLoadOhm = given.One(_packLoad, usual.Chain.PackMinLoadOhm),
                PackVolumeDb = given.One(_packVolume, usual.Chain.PackVolumeDb),
            },
            WantedDb = given.One(_wanted, usual.WantedDb),
            CrestDb = given.One(_crest, usual.CrestDb),
            DeskDbu = given.Optional(_desk),
            Field = field == Fields[0] ? SoundField.Diffuse : SoundField.Free,
        };
    }
}
