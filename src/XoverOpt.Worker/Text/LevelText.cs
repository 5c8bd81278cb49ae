using XoverOpt.Search;
using XoverOpt.Worker.Commands;

namespace XoverOpt.Worker.Text;

/// <summary>Level budgets.</summary>
internal static class LevelText
{
    /// <summary>What the numbers rest on.</summary>
    public static IReadOnlyList<string> Notes { get; } =
    [
        "Levels of the chain are RMS of a sine, that of the programme noise is its own RMS, by default what makes the wanted level at the eardrum as a whole; armature travel is judged at its peak, √2 of its RMS. mV is at the socket. The chain's numbers are common practice, no source, unless you gave them. "
        + "Receiver limits are the drawer's; with every frequency at once they are met earlier.",
        ExposureText.Basis,
    ];

    /// <summary>Their lines, and how the builds stand beside one another.</summary>
    public static IEnumerable<string> Lines(IReadOnlyList<AnalysedBuild<LevelBudget>> builds)
    {
        foreach (string line in builds.SelectMany(Lines))
        {
            yield return line;
        }

        if (builds.Count > 1)
        {
            StageRoom first = builds[0].Result.Room;
            yield return $"Room at the desk above {Numbers.Part(first.WantedDb)} dB at 1 kHz, peaks {Numbers.Part(first.CrestDb)} dB above the mean, against the first build:";
            foreach ((string name, StageRoom room) in builds.Select(build => (build.Name, build.Result.Room)))
            {
                yield return $"  {Numbers.Fixed(room.ElectricalRoomDb, 1),6} dB  {name}: needs {Dbu(room.NeededDbu)}, "
                    + $"room {ChangeRows.Signed(room.ElectricalRoomDb - first.ElectricalRoomDb, 1)} dB against the first";
            }

            yield return "";
        }
    }

    private static IEnumerable<string> Lines(AnalysedBuild<LevelBudget> build)
    {
        LevelBudget budget = build.Result;
        yield return build.Heading;
        yield return $"  SPL at 100 mV  {Numbers.Fixed(budget.SplAt100mV, 1)} dB at 500 Hz, {Numbers.Fixed(budget.SplAt100mV1kHz, 1)} dB at 1 kHz";
        yield return $"  SPL at 1 mW    {Numbers.Fixed(budget.SplAt1mW, 1)} dB at 500 Hz, {Numbers.Fixed(budget.SplAt1mW1kHz, 1)} dB at 1 kHz";
        if (budget.WithoutLimits.Count > 0)
        {
            yield return $"  ! {string.Join(", ", budget.WithoutLimits)} states no limits: the build may give in earlier than said here";
        }

        if (budget.WithOneLimit.Count > 0)
        {
            yield return $"  ! {string.Join(", ", budget.WithOneLimit)} states only one of travel and current: the build may give in earlier than said here";
        }

        yield return $"  {"Hz",7}{"dB SPL",8}{"mV",7}  {"first receiver limit",-22}{"desk dBu",9}   first on stage: desk dBu, dB SPL";
        foreach ((PeakLevel peak, StageLimit stage) in budget.Peaks.Zip(budget.Stages))
        {
            string limit = peak.Way is null ? "none stated" : $"{peak.Way} {peak.Receiver} {peak.Limit!.Split(' ')[^1]}";
            StageLevel? receiver = stage.Stages.FirstOrDefault(one => !one.Electrical);
            yield return $"  {Numbers.Part(Math.Round(peak.Hz, 1)),7}{Numbers.Fixed(peak.Db, 1),8}{Numbers.Fixed(peak.SocketMillivolt, 0),7}  {limit,-22}"
                + $"{(receiver is null ? "" : ChangeRows.Signed(receiver.DeskDbu, 1)),9}   {ChangeRows.Signed(stage.First.DeskDbu, 1)}, {Numbers.Fixed(stage.EardrumDb, 1)}  {First(stage)}";
        }

        foreach (string line in Prose(budget).SelectMany(line => Report.Wrap(line, Report.Width)))
        {
            yield return line;
        }

        yield return ExposureText.Heading(budget.Exposures[0].Field == SoundField.Diffuse ? "programme noise, diffuse field" : "programme noise, free field in front");
        yield return ExposureText.Row($"{Dbu(budget.ProgrammeDbu)} RMS at the desk", budget.Exposures[0]);
        foreach (Exposure exposure in budget.Exposures.Skip(1))
        {
            yield return ExposureText.Row($"{Numbers.Part(exposure.Millivolt)} mV at the socket", exposure);
        }

        yield return "";
    }

    /// <summary>The chain, and what room it leaves.</summary>
    private static IEnumerable<string> Prose(LevelBudget budget)
    {
        StageChain chain = budget.Chain;
        StageRoom room = budget.Room;
        yield return $"  chain: console up to {Dbu(chain.ConsoleMaxDbu)}, transmitter full at {Dbu(chain.TransmitterFullDbu)}, pack {Numbers.Part(chain.PackMaxVolt)} V behind "
            + $"{Numbers.Part(chain.PackOhm)} Ω for {Numbers.Part(chain.PackMinLoadOhm)} Ω or more, volume {Numbers.Part(chain.PackVolumeDb)} dB";
        if (budget.LowestLoadOhm < chain.PackMinLoadOhm)
        {
            yield return $"  ! the build falls to {Numbers.Fixed(budget.LowestLoadOhm, 1)} Ω, below the {Numbers.Part(chain.PackMinLoadOhm)} Ω the pack is made for";
        }

        yield return $"  {Numbers.Part(room.WantedDb)} dB at 1 kHz takes {Dbu(room.NeededDbu)} ({Numbers.Fixed(StageChain.Dbv(room.NeededDbu), 1)} dBV) at the desk, {Numbers.Fixed(room.SocketMillivolt, 0)} mV at the socket";
        yield return $"    room for peaks {Numbers.Part(room.CrestDb)} dB above the mean: {Numbers.Fixed(room.ElectricalRoomDb, 1)} dB to the {room.Electrical.Stage} at {ChangeRows.Hertz(room.ElectricalHz)}, "
            + (room.Receiver is null ? "no receiver limit known" : $"{Numbers.Fixed(room.ReceiverRoomDb, 1)} dB to {room.Receiver.Stage} at {ChangeRows.Hertz(room.ReceiverHz!.Value)}");
        yield return $"    3 dB more sensitivity would leave {Numbers.Fixed(room.ElectricalRoomDb + 3, 1)} dB to the {room.Electrical.Stage}";
    }

    /// <summary>The stages that give in first, at the same level.</summary>
    private static string First(StageLimit limit) =>
        string.Join(", ", limit.Stages.TakeWhile(stage => stage.DeskDbu < limit.First.DeskDbu + 0.05).Select(stage => stage.Electrical ? stage.Stage.Replace("body ", "", StringComparison.Ordinal) : "receiver"));

    private static string Dbu(double dbu) => $"{ChangeRows.Signed(dbu, 1)} dBu";
}
