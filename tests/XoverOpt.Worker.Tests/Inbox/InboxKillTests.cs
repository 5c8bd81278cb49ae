using System.Text.RegularExpressions;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Inbox;

/// <summary>The watched folder of a worker that is killed as a process.</summary>
public sealed partial class InboxKillTests
{
    [Fact]
    public async Task Inbox_WorkerKilledTimeAndAgainWhileFilesAreDropped_MakesOneRunOfEachContent()
    {
        using Desk desk = new();
        const int Kills = 3, Each = 4;
        for (int kill = 0; kill <= Kills; kill++)
        {
            (Cli worker, WorkerClient client) = await Serve(desk);
            using (worker)
            using (client)
            {
                // Not to be begun, so that the cores are left to taking them in. The same content comes under two names.
                for (int i = 0; kill < Kills && i < Each; i++)
                {
                    string job = Desk.Job(1000 + (kill * Each) + i, more: "\"schedule\": { \"notBefore\": \"2999-01-01T00:00:00Z\" },");
                    desk.Write($"inbox/job {kill}-{i}.json", job);
                    desk.Write($"inbox/again {kill}-{i}.json", job);
                }

                if (kill < Kills)
                {
                    // Killed at the first sign of the taking in, amid it.
                    await Until.True(() => Count(desk, "accepted") > kill * Each, () => worker.Error + worker.Output);
                    await worker.Kill();
                    continue;
                }

                await Until.True(() => Count(desk, "accepted") == 2 * Kills * Each, () => $"{Count(desk, "accepted")} accepted: {worker.Error}{worker.Output}");
                Assert.Equal(Kills * Each, (int)(await client.Get("/api/worker"))["runs"]!["waiting"]!);
                Assert.Equal(0, Count(desk, "refused") + Count(desk, ".taking"));
                Assert.Empty(Directory.EnumerateFiles(Path.Combine(desk.Root, "inbox")));
                await worker.Kill();
            }
        }
    }

    private static int Count(Desk desk, string folder) =>
        Directory.Exists(Path.Combine(desk.Root, "inbox", folder)) ? Directory.GetFiles(Path.Combine(desk.Root, "inbox", folder)).Length : 0;

    private static async Task<(Cli Worker, WorkerClient Client)> Serve(Desk desk)
    {
        Cli worker = Cli.Start(desk.Root, "serve", "--urls", "http://127.0.0.1:0", "--store", "store", "--inventory", "driverlib", "--inbox", "inbox");
        string address = await Until.Some(
            () => Task.FromResult(Listening().Match(worker.Error) is { Success: true } match ? match.Groups[1].Value : null),
            () => $"the worker does not listen: {worker.Output}{worker.Error}");
        return (worker, new WorkerClient(address));
    }

    [GeneratedRegex("Listening at (http://127\\.0\\.0\\.1:[0-9]+)")]
    private static partial Regex Listening();
}
