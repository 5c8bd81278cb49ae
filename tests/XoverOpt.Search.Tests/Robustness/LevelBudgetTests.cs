using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search.Tests;

public class LevelBudgetTests
{
    private static readonly Problem _problem = SmallProblem.TwoWay() with { Source = new(0.1, 0) };

    private static LevelSettings Settings(StageChain? chain = null) => new() { Chain = chain ?? new StageChain { PackOhm = 0, PackMinLoadOhm = 0 } };

    private static Earpiece One(Receiver receiver) => new([new("only", receiver, 1, Wiring.Parallel, Polarity.Normal, [], 1000e5, [new(10e-3, 1.5e-3)])]);

    /// <summary>The same receiver wound with n times the turns: T·n, R·n², L·n², K·n².</summary>
    private static Receiver Wound(Receiver receiver, double n) => receiver with
    {
        ForceFactor = receiver.ForceFactor * n,
        DcResistance = receiver.DcResistance * n * n,
        Inductance = receiver.Inductance * n * n,
        SemiInductance = receiver.SemiInductance * n * n,
        CurrentLimit = receiver.CurrentLimit / n,
    };

    // Common practice, no source: 3 dB of input sensitivity is 3 dB at the desk. Fewer turns by 3 dB on a stiff source give 3 dB more level
    // from the same voltage, and the same sound at the receiver's limit.
    [Fact]
    public void Room_OfABuildThreeDecibelMoreSensitive_IsThreeDecibelMore()
    {
        LevelBudget usual = LevelBudget.Of(One(SmallProblem.Low1.Receiver), _problem, Settings());
        LevelBudget louder = LevelBudget.Of(One(Wound(SmallProblem.Low1.Receiver, Math.Pow(10, -3.0 / 20))), _problem, Settings());

        Assert.Equal(3, louder.SplAt100mV - usual.SplAt100mV, 1e-9);
        Assert.Equal(0, louder.SplAt1mW - usual.SplAt1mW, 1e-9);
        Assert.Equal(-3, louder.Room.NeededDbu - usual.Room.NeededDbu, 1e-9);
        Assert.Equal(3, louder.Room.ElectricalRoomDb - usual.Room.ElectricalRoomDb, 1e-9);
        Assert.Equal(0, louder.Room.ReceiverRoomDb!.Value - usual.Room.ReceiverRoomDb!.Value, 1e-9);
        Assert.All(louder.Peaks.Zip(usual.Peaks), pair => Assert.Equal(0, pair.First.Db!.Value - pair.Second.Db!.Value, 1e-9));
    }

    // Peak travel is √2 of its RMS.
    [Fact]
    public void Peaks_AtTheirVoltage_MeetTheLimitTheyName()
    {
        Receiver receiver = SmallProblem.Low1.Receiver;
        Earpiece earpiece = One(receiver);
        LevelBudget budget = LevelBudget.Of(earpiece, _problem, Settings());

        Assert.Equal(31, budget.Peaks.Count);
        Assert.Equal(2, budget.Peaks.Select(peak => peak.Limit).Distinct().Count());
        foreach (PeakLevel peak in budget.Peaks)
        {
            double omega = 2 * Math.PI * peak.Hz;
            PlainResponse there = PlainResponse.At(earpiece, _problem.Ear, new(peak.SocketMillivolt!.Value / 1e3, 0), omega);
            double travel = Math.Sqrt(2) * there.DiaphragmFlow[0].Magnitude / (omega * receiver.DiaphragmArea);
            bool byTravel = peak.Limit == "armature travel";
            Assert.Equal(1, byTravel ? travel / receiver.TravelLimit!.Value : there.CoilCurrent[0] / receiver.CurrentLimit!.Value, 1e-9);
            Assert.True(travel <= receiver.TravelLimit * (1 + 1e-9) && there.CoilCurrent[0] <= receiver.CurrentLimit * (1 + 1e-9));
            Assert.Equal(peak.Db!.Value, 20 * Math.Log10(there.DrumPressure.Magnitude / 20e-6), 1e-9);
        }
    }

    [Fact]
    public void Of_AReceiverWithoutLimits_SaysSoAndGuessesNothing()
    {
        LevelBudget none = LevelBudget.Of(One(SmallProblem.Low1.Receiver with { TravelLimit = null, CurrentLimit = null }), _problem, Settings());
        LevelBudget half = LevelBudget.Of(One(SmallProblem.Low1.Receiver with { CurrentLimit = null }), _problem, Settings());

        Assert.Equal([SmallProblem.Low1.Receiver.PartNumber], none.WithoutLimits);
        Assert.All(none.Peaks, peak => Assert.Null(peak.Db));
        Assert.Null(none.Room.Receiver);
        Assert.Null(none.Room.ReceiverRoomDb);
        Assert.Equal([SmallProblem.Low1.Receiver.PartNumber], half.WithOneLimit);
        Assert.Empty(half.WithoutLimits);
    }

    // Ohm's law: 1 V behind 2 Ω for 16 Ω or more gives 1/18 A, which 6 Ω reach at 8/18 V: 7.04 dB before the voltage ends.
    [Fact]
    public void Stages_OnALoadBelowThePacksLowest_ClipByCurrentFirst()
    {
        Receiver resistive = SmallProblem.Mid1.Receiver with { DcResistance = 6, Inductance = null, SemiInductance = null, ForceFactor = 1e-4, CurrentLimit = null, TravelLimit = null };
        var chain = new StageChain { PackOhm = 2, PackMaxVolt = 1, PackMinLoadOhm = 16, TransmitterFullDbu = 18, ConsoleMaxDbu = 22 };
        StageLimit limit = LevelBudget.Of(One(resistive), _problem, Settings(chain)).Stages[17];

        Assert.Equal(1000, limit.Hz);
        Assert.Equal("body pack current", limit.First.Stage);
        Assert.Equal(18 + (20 * Math.Log10(8.0 / 18)), limit.First.DeskDbu, 1e-3);
    }

    [Theory]
    [InlineData(22, 18, 0, "transmitter", 18)]
    [InlineData(12, 18, 0, "console output", 12)]
    [InlineData(22, 18, 10, "body pack voltage", 8)]
    public void Stages_OfAChain_NameTheOneThatGivesInFirst(double console, double transmitter, double volume, string first, double desk)
    {
        var chain = new StageChain { PackOhm = 0, PackMinLoadOhm = 0, PackMaxVolt = 0.2, ConsoleMaxDbu = console, TransmitterFullDbu = transmitter, PackVolumeDb = volume };
        StageRoom room = LevelBudget.Of(One(SmallProblem.Low1.Receiver), _problem, Settings(chain)).Room;

        Assert.Equal(first, room.Electrical.Stage);
        Assert.Equal(desk, room.Electrical.DeskDbu, 1e-9);
        Assert.Equal(desk - room.NeededDbu - (12 - 3.0103), room.ElectricalRoomDb, 1e-4);
        Assert.Equal(-2.218, StageChain.Dbv(0), 1e-3);
    }

    // By hand: the band powers of IEC 60268-1 through the response at their middles, behind the pack's resistance. A pack as full at 18 dBu as 1 V.
    [Fact]
    public void Exposure_FromTheDesk_IsOfNoiseThatMakesTheWantedLevel()
    {
        Earpiece earpiece = One(SmallProblem.Low1.Receiver);
        LevelSettings settings = Settings(new StageChain { PackOhm = 10 });
        LevelBudget wanted = LevelBudget.Of(earpiece, _problem, settings), stated = LevelBudget.Of(earpiece, _problem, settings with { DeskDbu = -20 });
        double power = ProgrammeNoise.Bands.Sum(band => band.Power * Math.Pow(PlainResponse.At(earpiece, _problem.Ear, new(1, 10), 2 * Math.PI * band.Hz).DrumPressure.Magnitude / 20e-6, 2));

        Assert.Equal(settings.WantedDb, wanted.Exposures[0].EardrumDb, 1e-9);
        Assert.Equal((10 * Math.Log10(power)) - 38, stated.Exposures[0].EardrumDb, 0.2);
        Assert.Equal(stated.Exposures[0].EardrumDb - settings.WantedDb, -20 - wanted.ProgrammeDbu, 1e-9);
    }

    [Fact]
    public void Sensitivity_OfABuild_IsThatOfItsFigures()
    {
        Earpiece earpiece = One(SmallProblem.Low1.Receiver);
        LevelBudget budget = LevelBudget.Of(earpiece, _problem, Settings());
        BuildFigures figures = new BuildEvaluation(_problem).Judge(earpiece).Figures;

        Assert.Equal(figures.SplAt100mV, budget.SplAt100mV, 1e-6);
        Assert.Equal(figures.SplAt1mW1kHz, budget.SplAt1mW1kHz, 1e-6);
        Assert.Equal(figures.Headroom.Single(peak => peak.Hz == 1000).Db, budget.Peaks[17].Db!.Value, 1e-6);
    }
}
